package chart

import (
	"html"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"
)

func at(s string) time.Time {
	t, err := time.Parse(time.RFC3339, s)
	if err != nil {
		t, err = time.Parse(time.DateOnly, s)
	}
	if err != nil {
		return time.Time{}
	}
	return t
}

func zone(name string) *time.Location {
	z, err := time.LoadLocation(name)
	if err != nil {
		return time.UTC
	}
	return z
}

// tank is an invented quantity: a slow fall that speeds up, tested unevenly with two kits.
type tank struct {
	name, unit         string
	decimals           int
	start, loss, noise float64
	band               Band
	days, tests, ahead int
}

var magnesium = tank{"magnesium, north window", "mg/L", 0, 1345, 0.28, 16, Band{1250, 1320, 1400}, 200, 60, 60}

func (k tank) level(d float64) float64 {
	return k.start - k.loss*d*(0.5+d/float64(k.days)) + 0.7*k.noise*math.Sin(d/17)
}

func (k tank) picture(seed uint64) Picture {
	rng := rand.New(rand.NewPCG(seed, 1))
	first := at("2025-08-24T18:30:00Z")
	p := Picture{Name: k.name, Unit: k.unit, Decimals: k.decimals, Zone: zone("Europe/Lisbon"), Band: k.band,
		Today: first.AddDate(0, 0, k.days), State: "near the edge"}
	for i := range k.tests {
		d := float64(k.days) * (float64(i) + 0.8*rng.Float64()) / float64(k.tests)
		r := Reading{At: first.Add(time.Duration(d * 24 * float64(time.Hour))), SD: k.noise, Kit: "drop kit, first"}
		if d > 0.6*float64(k.days) {
			r.Kit, r.SD = "photometer", k.noise*0.7
		}
		if i == k.tests*9/10 {
			r.Kit, r.SD = "post laboratory", k.noise*0.25
		}
		r.Value = k.level(d) + r.SD*rng.NormFloat64()
		if i == k.tests/3 {
			r.Value, r.Misread = r.Value+9*k.noise, true
		}
		p.Readings = append(p.Readings, r)
	}
	for d := 0; d <= k.days; d++ {
		p.Levels = append(p.Levels, Level{first.AddDate(0, 0, d), k.level(float64(d)), k.noise * (0.45 + 0.25*math.Abs(math.Sin(float64(d)/9)))})
	}
	last := p.Levels[len(p.Levels)-1]
	p.Now = Doubted{last.Mean, last.SD}
	slope := k.level(float64(k.days)) - k.level(float64(k.days)-1)
	for d := 0; d <= k.ahead; d++ {
		m, sd := last.Mean+slope*float64(d), math.Hypot(last.SD, k.noise*0.055*float64(d))
		q := func(z float64) float64 { return m + z*sd }
		p.Fan = append(p.Fan, Day{p.Today.AddDate(0, 0, d), q(-1.645), q(-1.282), q(-.674), m, q(.674), q(1.282), q(1.645)})
		if p.Leaves.IsZero() && m < k.band.Low {
			p.Leaves = p.Today.AddDate(0, 0, d)
		}
	}
	for d := 6; d < k.days; d += 14 {
		p.Deeds = append(p.Deeds, Deed{first.AddDate(0, 0, d), WaterChange, "water change, 120 L of batch nine"})
	}
	for d := 20; d < k.days; d += 5 {
		p.Deeds = append(p.Deeds, Deed{first.AddDate(0, 0, d), Dose, "dose, 40 g magnesium chloride"})
	}
	p.Deeds = append(p.Deeds, Deed{first.AddDate(0, 0, 90), Setting, "setting, pump rate 12 mL a day"},
		Deed{first.AddDate(0, 0, 133), TopOff, "top-off, 30 L"})
	return p
}

// extremes are pictures at the edge of what a book may hold.
func extremePictures() map[string]Picture {
	base := Picture{Name: "alkalinity, low shelf", Unit: "dKH", Decimals: 1, Zone: zone("Asia/Tokyo"), Today: at("2026-03-12T03:00:00Z"), Band: NoBand()}
	one, equal, gaps, decade, crowded, wild, empty, open, below := base, base, base, base, base, base, base, base, base
	one.Readings = []Reading{{At: at("2026-03-11T03:00:00Z"), Value: 8.1, SD: .3, Kit: "drop kit"}}
	for d := range 20 {
		equal.Readings = append(equal.Readings, Reading{At: base.Today.AddDate(0, 0, -d), Value: 8, Kit: "drop kit"})
		equal.Levels = append(equal.Levels, Level{base.Today.AddDate(0, 0, -d), 8, 0})
	}
	gaps.From, gaps.To = at("2011-01-01"), at("2026-06-01")
	gaps.Band = Band{7.5, 8, 9}
	for _, d := range []string{"2011-02-01", "2011-02-02", "2019-07-07", "2026-03-01"} {
		gaps.Readings = append(gaps.Readings, Reading{At: at(d), Value: 7.9, SD: .2, Kit: d})
		gaps.Levels = append(gaps.Levels, Level{at(d), 7.9, 1.2})
	}
	decade = tank{"calcium, cellar", "mg/L", 0, 440, .01, 9, Band{400, 430, 460}, 3650, 900, 30}.picture(4)
	decade.From, decade.To = decade.Extent().From, decade.Extent().To
	crowded = tank{"temperature, cellar", "°C", 1, 25, 0, .3, Band{24, 25, 26}, 120, 30000, 14}.picture(5)
	wild = magnesium.picture(6)
	wild.Readings = append(wild.Readings, Reading{At: wild.Today.AddDate(0, 0, -3), Value: math.NaN()},
		Reading{At: wild.Today.AddDate(0, 0, -3), Value: math.Inf(1)}, Reading{Value: 3},
		Reading{At: wild.Today.AddDate(0, 0, -4), Value: 1e11, SD: math.NaN(), Misread: true})
	wild.Levels = append(wild.Levels, Level{wild.Today, math.NaN(), math.Inf(1)})
	wild.Fan = append(wild.Fan, Day{At: wild.Today.AddDate(0, 0, 61), P05: math.Inf(-1), P95: math.Inf(1)})
	open = magnesium.picture(7)
	for i := range open.Fan {
		open.Fan[i].P05, open.Fan[i].P95 = -4000, 9000
	}
	open.Name = `<script>"&'` // what a tank may be called
	below.Unit, below.Decimals, below.Band = "mg/L PO4", 3, Band{math.NaN(), .05, .1}
	for d := range 40 {
		v := .09 - .002*float64(d)
		below.Readings = append(below.Readings, Reading{At: base.Today.AddDate(0, 0, d-40), Value: math.Max(v, .02), SD: .008, Kit: "photometer", Below: v < .02})
		below.Levels = append(below.Levels, Level{base.Today.AddDate(0, 0, d-40), math.Max(v, .006), .008})
	}
	below.Deeds = []Deed{{base.Today.AddDate(0, 0, -9), OtherDeed, "feeding, two cubes"}}
	return map[string]Picture{"one": one, "equal": equal, "gaps": gaps, "decade": decade, "crowded": crowded,
		"wild": wild, "empty": empty, "open": open, "below": below}
}

func sampleSteps() Steps {
	return Steps{Name: "Magnesium, north window", Unit: "mg/L", StartWords: "level on 1 Jan 2026", EndWords: "level on 12 Mar 2026",
		Start: Doubted{1312, 14}, End: Doubted{1268, 11}, Parts: []Step{
			{"dose, magnesium chloride, 9 times", Doubted{61, 2}}, {"water change, batch nine, 5 times", Doubted{12, 9}},
			{"top-off", Doubted{0, 0}}, {"demand", Doubted{-112, 16}}, {"unexplained", Doubted{-5, 12}}}}
}

// TestSamples writes pages to look at when CHART_SAMPLES names a folder.
func TestSamples(t *testing.T) {
	dir := os.Getenv("CHART_SAMPLES")
	if dir == "" {
		t.Skip("CHART_SAMPLES names no folder to write pages to")
	}
	pages := extremePictures()
	pages["usual"] = magnesium.picture(1)
	pages["alkalinity"] = tank{"alkalinity, south", "dKH", 1, 8.6, .004, .18, Band{7.5, 8.2, 9}, 500, 500, 30}.picture(2)
	pages["close"] = magnesium.picture(1).Between(Span{at("2026-02-20"), at("2026-03-14")})
	for name, p := range pages {
		body := `<h2>` + html.EscapeString(p.title()) + `</h2>` + string(Small(p)) + string(Figure(p, Place{"c", "/chart", "/page"})) + string(sampleSteps().Draw())
		page := `<!doctype html><meta charset="utf-8"><meta name="viewport" content="width=device-width"><link rel="stylesheet" href="chart.css">` +
			`<link rel="stylesheet" href="page.css"><title>sample</title><main>` + body + `</main>`
		if err := os.WriteFile(filepath.Join(dir, name+".html"), []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}
