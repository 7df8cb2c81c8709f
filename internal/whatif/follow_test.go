package whatif

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"driftline/internal/drift"
	"driftline/internal/standing"
	"driftline/statespace"
)

func near(t *testing.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.9g, want %.9g ± %.2g", what, got, want, tolerance)
	}
}

// run carries one tank without chance along a lane and gives its level at times.
func run(way drift.Way, l lane, times grid) []float64 {
	g := slices.Clone(times)
	for _, p := range l.pours {
		g = append(g, p.t)
	}
	slices.Sort(g)
	g = slices.Compact(g)
	if l.factor == nil {
		l.factor = func(float64) float64 { return 1 }
	}
	if l.water == nil {
		l.water = func(float64) float64 { return 1 }
	}
	c, w := way.Level, way.Wander
	at := map[float64]float64{}
	for i, leg := range legs(way, 0, g, l) {
		c = leg.keep*c - leg.byMean*way.Demand - leg.byWander*w + leg.add + leg.byYield*way.Yield
		w *= leg.rho
		for p := range leg.pours {
			c = leg.pours[p].into(c, 0, &drift.Draw{})
		}
		c += leg.then
		at[g[i]] = c * leg.after
	}
	out := make([]float64, len(times))
	for i, t := range times {
		out[i] = at[t]
	}
	return out
}

// Compartments with first-order loss, constant input and events, against a
// matrix exponential: testdata/SOURCES.md.
func TestCompartments(t *testing.T) {
	var file struct {
		Tank []struct {
			Input struct {
				Name        string
				Y0, K, Rate float64
				Times       []float64
				Events      []struct{ Time, Fraction, Concentration, Delta float64 }
			}
			Expected []struct{ T, After float64 }
		}
	}
	text, err := os.ReadFile("testdata/compartment.json")
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(text, &file); err != nil {
		t.Fatal(err)
	}
	for _, c := range file.Tank {
		var l lane
		for _, e := range c.Input.Events {
			if e.Delta != 0 {
				l.inputs = append(l.inputs, drift.Input{T: e.Time, Delta: e.Delta})
				continue
			}
			l.pours = append(l.pours, poured(e.Time, e.Fraction, 1, standing.NewWater{Mean: e.Concentration, Mix: -1}, nil))
		}
		got := run(drift.Way{Flow: statespace.Flow{Relax: c.Input.K}, Level: c.Input.Y0, Demand: -c.Input.Rate}, l, c.Input.Times)
		for i, e := range c.Expected {
			near(t, c.Input.Name, got[i], e.After, 1e-9*math.Abs(e.After))
		}
		if c.Input.Rate < 0 {
			continue
		}
		l.food = []drift.Feed{{From: 0, To: 1000, Rate: 4 * c.Input.Rate}} // a quarter of which ends in the water
		got = run(drift.Way{Flow: statespace.Flow{Relax: c.Input.K}, Level: c.Input.Y0, Yield: 0.25}, l, c.Input.Times)
		for i, e := range c.Expected {
			near(t, c.Input.Name+", fed", got[i], e.After, 1e-9*math.Abs(e.After))
		}
	}
	if len(file.Tank) < 3 {
		t.Errorf("%d cases were read", len(file.Tank))
	}
}

// Ten changes of a tenth of the water with a mix of 5 leave, of an excess of 35,
// 0.9^10 = 0.34867844: 5 + 35·0.34867844 = 17.2037454.
func TestDilutionSeries(t *testing.T) {
	var l lane
	for i := range 10 {
		l.pours = append(l.pours, poured(float64(i+1), 0.1, 1, standing.NewWater{Mean: 5, Mix: -1}, nil))
	}
	got := run(drift.Way{Level: 40}, l, grid{10})
	near(t, "ten changes of a tenth", got[0], 17.2037454, 1e-6)
}

// With a gain of g between changes of a share f with a mix of c, the level right
// after a change settles where what comes is what goes: f·(x + g − c) = g, so that
// before it x = c + g/f and after it c + g·(1−f)/f. Gain 2 a week, f 0.2, c 1:
// 1 + 2·0.8/0.2 = 9.
func TestSteadyStateOfChanges(t *testing.T) {
	var l lane
	for week := range 52 {
		l.pours = append(l.pours, poured(7*float64(week+1), 0.2, 1, standing.NewWater{Mean: 1, Mix: -1}, nil))
	}
	got := run(drift.Way{Level: 30, Demand: -2.0 / 7}, l, grid{7 * 52})
	near(t, "after a year of weekly changes", got[0], 9, 1e-3) // 21·0.8^52 = 2e-4 is left of the start
}

// Without top-off the salt stays and the water goes: S = S0·V0/(V0 − E·t). 400 L
// at 35 losing 4 L a day hold after 24 days 35·400/304 = 46.0526316, and 35 again
// once the 96 L are replaced.
func TestEvaporationWithoutTopOff(t *testing.T) {
	spans := tidy([]dry{{from: 0, to: 24, rate: 4}})
	l := lane{water: func(at float64) float64 { return 1 - missing(spans, at, 400)/400 }}
	got := run(drift.Way{Level: 35}, l, grid{12, math.Nextafter(24, 0), 24, 30})
	near(t, "after 12 days", got[0], 35*400/352.0, 1e-9)
	near(t, "just before the refill", got[1], 46.0526316, 1e-6)
	near(t, "right after it", got[2], 35, 1e-9)
	near(t, "topped off over 30 days", topped(spans, 4, 30, 400), 120, 1e-9) // 4 L a day, early or late
	near(t, "topped off over 20 days", topped(spans, 4, 20, 400), 0, 1e-9)
}

// A water change while water is missing: 304 of 400 L hold 35·400 g-equivalents;
// 40 L of them leave at 46.0526 and 40 L of 35 come: (14,000 − 1,842.1053 +
// 1,400)/304 = 44.5983380.
func TestChangeWhileWaterIsMissing(t *testing.T) {
	there := 304.0 / 400
	l := lane{water: func(float64) float64 { return there },
		pours: []pour{poured(1, 0.1, there, standing.NewWater{Mean: 35, Mix: -1}, nil)}}
	got := run(drift.Way{Level: 35}, l, grid{2})
	near(t, "after the change", got[0], 44.5983380, 1e-6)
}

// A demand of 0.5 a day halved from day 10 takes 5 + 5 = 10 in 30 − 10 more days.
func TestDemandScaled(t *testing.T) {
	r := road{scales: []scaled{{10, math.Inf(1), "alkalinity", 0.5}}}
	got := run(drift.Way{Level: 20, Demand: 0.5}, lane{factor: r.factorOf("alkalinity")}, grid{10, 30})
	near(t, "before", got[0], 15, 1e-9)
	near(t, "after", got[1], 10, 1e-9)
}

// place must agree with sorting.
func TestQuantilesAgreeWithSorting(t *testing.T) {
	v := make([]float64, 2000)
	x := uint64(1)
	for i := range v {
		x = x*6364136223846793005 + 1442695040888963407
		v[i] = float64(x >> 54) // with ties
	}
	sorted := slices.Sorted(slices.Values(v))
	q := quantiles(v)
	for i, p := range chances {
		near(t, "quantile", q[i], sorted[int(p*2000)], 0)
	}
}

// What is in the water at the end is what was there, with all that came and less
// all that went: a ledger kept event by event, in grams for 400 L.
func TestMassAddsUp(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		const litres = 400.0
		demand := rapid.Float64Range(-2, 2).Draw(rt, "demand")
		rate := rapid.Float64Range(0, 3).Draw(rt, "feed")
		l := lane{feeds: []drift.Feed{{From: 3, To: 20, Rate: rate}}}
		grams, last := 100*litres, 0.0
		flow := func(to float64) {
			grams -= demand * litres * (to - last)
			grams += rate * litres * max(0, min(to, 20)-max(last, 3))
			last = to
		}
		for day := 1; day < 30; day++ {
			at, v := float64(day), rapid.Float64Range(0, 0.5).Draw(rt, "share")
			flow(at)
			if rapid.Bool().Draw(rt, "water") {
				l.pours = append(l.pours, poured(at, v, 1, standing.NewWater{Mean: 60, Mix: -1}, nil))
				grams += v*litres*60 - v*litres*(grams/litres)
			} else {
				l.inputs = append(l.inputs, drift.Input{T: at, Delta: v})
				grams += v * litres
			}
		}
		flow(30)
		got := run(drift.Way{Level: 100, Demand: demand}, l, grid{30})[0]
		if math.Abs(got*litres-grams) > 1e-6*math.Abs(grams)+1e-3 {
			rt.Fatalf("%g g in the water, %g g by the ledger", got*litres, grams)
		}
	})
}

// The figure of a rank is the one that sorting puts there.
func TestQuantilesAreThoseOfSorting(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for name, draw := range map[string]func(i int) float64{
		"normal":       func(int) float64 { return 400 + 3*rng.NormFloat64() },
		"all alike":    func(int) float64 { return 8.2 },
		"few values":   func(i int) float64 { return float64(i % 3) },
		"far away":     func(i int) float64 { return math.Pow(10, float64(i%30)) },
		"at the floor": func(int) float64 { return max(rng.NormFloat64(), 0) },
		"tiny":         func(int) float64 { return 1e-300 * rng.Float64() },
	} {
		for _, n := range []int{1, 2, 5, 100, 2000} {
			v := make([]float64, n)
			for i := range v {
				v[i] = draw(i)
			}
			got := quantiles(v)
			slices.Sort(v)
			for i, c := range chances {
				if want := v[int(c*float64(n))]; got[i] != want {
					t.Errorf("%s, %d figures, chance %v: %v, want %v", name, n, c, got[i], want)
				}
			}
		}
	}
}
