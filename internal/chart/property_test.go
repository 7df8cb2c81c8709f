package chart

import (
	"math"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func drawPicture(t *rapid.T) Picture {
	number := rapid.OneOf(rapid.Float64Range(-5, 2000), rapid.Float64(), rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), 0, 8}))
	moment := rapid.Custom(func(t *rapid.T) time.Time {
		return time.Unix(rapid.Int64Range(0, 4e9).Draw(t, "second"), 0)
	})
	names := rapid.SampledFrom([]string{"", "drop kit", `a "quoted" <kit> & more`, "a name so long that no margin of any picture could ever hold it"})
	p := Picture{
		Name: names.Draw(t, "name"), Unit: rapid.SampledFrom([]string{"", "dKH", "mg/L CaCO3"}).Draw(t, "unit"),
		Decimals: rapid.IntRange(-1, 9).Draw(t, "decimals"), Today: moment.Draw(t, "today"),
		Zone: zone(rapid.SampledFrom([]string{"UTC", "Australia/Lord_Howe", "America/Sao_Paulo", "Asia/Kathmandu"}).Draw(t, "zone")),
		Now:  Doubted{number.Draw(t, "now"), number.Draw(t, "doubt")},
		Band: Band{number.Draw(t, "low"), number.Draw(t, "aim"), number.Draw(t, "high")},
	}
	if rapid.Bool().Draw(t, "spanned") {
		p.From, p.To = moment.Draw(t, "from"), moment.Draw(t, "to")
	}
	if rapid.Bool().Draw(t, "leaving") {
		p.Leaves = moment.Draw(t, "leaves")
	}
	for range rapid.IntRange(0, 12).Draw(t, "count") {
		p.Readings = append(p.Readings, Reading{moment.Draw(t, "at"), number.Draw(t, "value"), number.Draw(t, "sd"),
			names.Draw(t, "kit"), rapid.Bool().Draw(t, "below"), rapid.Bool().Draw(t, "misread")})
		p.Levels = append(p.Levels, Level{moment.Draw(t, "level at"), number.Draw(t, "mean"), number.Draw(t, "level sd")})
		q := number.Draw(t, "quantile")
		p.Fan = append(p.Fan, Day{moment.Draw(t, "day"), q, q + 1, q, number.Draw(t, "middle"), q, q - 1, q})
		p.Deeds = append(p.Deeds, Deed{moment.Draw(t, "deed"), DeedKind(rapid.IntRange(0, 4).Draw(t, "kind")), names.Draw(t, "label")})
	}
	return p
}

func TestAnyPictureDrawsWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawPicture(t)
		checkDrawing(t, string(Small(p)))
		checkDrawing(t, string(Large(p, Phone, "a")))
		checkDrawing(t, string(Large(p, Wide, "a")))
		inner := string(Inner(p, Place{"a", "/chart", "/page"}))
		if strings.Contains(inner, "NaN") || strings.Contains(inner, "Inf") {
			t.Errorf("no number in %s", inner)
		}
		if n := len([]rune(Line(p, 60))); n != 60 {
			t.Errorf("the line has %d characters, want 60", n)
		}
	})
}

func TestValueTicksAreMonotone(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		low := rapid.Float64Range(-1e6, 1e6).Draw(t, "low")
		high := low + math.Pow(10, rapid.Float64Range(-3, 6).Draw(t, "height"))
		most := rapid.IntRange(2, 12).Draw(t, "most")
		marks := valueTicks(low, high, most)
		if len(marks) > most+1 {
			t.Errorf("%d ticks, want at most %d", len(marks), most+1)
		}
		for i, m := range marks {
			slack := 1e-9 * math.Max(1, math.Abs(high))
			if m.value < low-slack || m.value > high+slack {
				t.Errorf("tick %v outside %v to %v", m.value, low, high)
			}
			if i > 0 && (m.value <= marks[i-1].value || m.label == marks[i-1].label) {
				t.Errorf("ticks %v and %v do not rise", marks[i-1], m)
			}
		}
	})
}

func TestTimeTicksAreMonotoneAndClear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := time.Unix(rapid.Int64Range(-1e9, 5e9).Draw(t, "from"), 0)
		length := time.Duration(math.Pow(10, rapid.Float64Range(3.6, 9.3).Draw(t, "seconds")) * 1e9)
		p := few().Between(Span{from, from.Add(length)})
		p.Zone = zone(rapid.SampledFrom([]string{"UTC", "Australia/Lord_Howe", "America/Sao_Paulo", "Pacific/Apia"}).Draw(t, "zone"))
		p = p.tidy()
		for _, shape := range []Shape{Phone, Wide} {
			f := newFrame(p, shape)
			stops := timeTicks(Span{p.From, p.To}, p.Zone, f.x, f.textWidth, 40)
			if len(stops) == 0 && length > 3*time.Hour {
				t.Errorf("no tick from %v for %v", from, length)
			}
			for i := 1; i < len(stops); i++ {
				if !stops[i].at.After(stops[i-1].at) {
					t.Errorf("%v does not follow %v", stops[i].at, stops[i-1].at)
				}
				room := (f.textWidth(stops[i].label) + f.textWidth(stops[i-1].label)) / 2
				if f.x(stops[i].at)-f.x(stops[i-1].at) < room {
					t.Errorf("labels %q and %q touch", stops[i-1].label, stops[i].label)
				}
			}
			notes := f.notes(stops)
			for i := 1; i < len(notes); i++ {
				if notes[i-1].x+f.textWidth(notes[i-1].text) > notes[i].x {
					t.Errorf("%q and %q touch", notes[i-1].text, notes[i].text)
				}
			}
		}
	})
}

// Jugel and others 2014: a line thinned to four points a pixel column has the
// same least and greatest value in every column.
func TestThinningKeepsTheExtremesOfEveryColumn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 400).Draw(t, "n")
		points := make([]point, n)
		for i := range points {
			points[i] = point{float64(i) * 20 / float64(n), rapid.Float64Range(0, 100).Draw(t, "y")}
		}
		was, is := columnRanges(points), columnRanges(columns(points, 4))
		for c, r := range was {
			if is[c] != r {
				t.Errorf("column %d spans %v, want %v", c, is[c], r)
			}
		}
	})
}

func columnRanges(points []point) map[int]span1 {
	all := map[int]span1{}
	for _, q := range points {
		r, ok := all[int(q.x)]
		if !ok {
			r = newRange()
		}
		r.add(q.y)
		all[int(q.x)] = r
	}
	return all
}

func TestCrowdKeepsExtremesAndStaysSmall(t *testing.T) {
	p := extremePictures()["crowded"].tidy()
	kept := thinReadings(p.Readings, func(r Reading) int { return p.column(r.At, 300) })
	if len(p.Readings) < 10*crowd || len(kept) > 4*301*3 {
		t.Errorf("%d of %d readings are left", len(kept), len(p.Readings))
	}
	whole, thin := newRange(), newRange()
	for _, r := range p.Readings {
		whole.add(r.Value)
	}
	for _, r := range kept {
		thin.add(r.Value)
	}
	if whole != thin {
		t.Errorf("extremes %v became %v", whole, thin)
	}
}

func TestStepsStayWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.OneOf(rapid.Float64Range(-500, 500), rapid.Float64())
		s := Steps{Unit: "mg/L", Decimals: rapid.IntRange(0, 3).Draw(t, "decimals"), Start: Doubted{number.Draw(t, "start"), 3}}
		for range rapid.IntRange(0, 6).Draw(t, "parts") {
			s.Parts = append(s.Parts, Step{"part", Doubted{number.Draw(t, "change"), number.Draw(t, "sd")}})
		}
		checkDrawing(t, string(s.Draw()))
	})
}
