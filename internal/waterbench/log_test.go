package waterbench_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/waterbench"
	"driftline/seawater"
)

var start = time.Date(2025, 3, 1, 0, 0, 0, 0, time.UTC)

func onDay(d float64) time.Time {
	return start.Add(time.Duration(math.Round(d*86400)) * time.Second)
}

// logOf makes a log of one tank, "quay", line by line.
type logOf struct{ lines []book.Line }

func newLog() *logOf {
	l := &logOf{}
	l.add(-1, book.KindTank, &book.Tank{Name: "quay", System: "mixed", NetVolume: "400", Unit: "L", TimeZone: "UTC"})
	return l
}

func (l *logOf) add(day float64, kind book.Kind, body book.Body) {
	l.lines = append(l.lines, book.Line{ID: fmt.Sprintf("line-%06d", len(l.lines)), Kind: kind, At: onDay(day), Tank: "quay", Body: body})
}

func (l *logOf) read(day float64, quantity string, v float64, decimals int, unit string) {
	l.add(day, book.KindReading, &book.Reading{Quantity: quantity, Value: book.NumberOf(v, decimals), Unit: unit})
}

func (l *logOf) facts(day float64) *book.Facts { return book.Replay(l.lines, onDay(day)) }

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s = %.6g, want %.6g ± %.2g", what, got, want, tolerance)
	}
}

// truePH is the pH (NBS) of water of 35 and 25.5 °C with so much alkalinity and CO2.
func truePH(t testing.TB, dKH, uatm float64) float64 {
	t.Helper()
	w, err := seawater.NewWater(35, 25.5, seawater.Basis{})
	if err != nil {
		t.Fatal(err)
	}
	ta, err := seawater.PerKilogram(dKH/2.80385*1000, 35, 25.5) // 10 mg/L of CaO, 56.077 g/mol, two equivalents
	if err != nil {
		t.Fatal(err)
	}
	c, err := w.Solve(seawater.TA(ta), seawater.PCO2(uatm))
	if err != nil {
		t.Fatal(err)
	}
	return c.PHNBS
}

func tenYears(tb testing.TB) *book.Facts {
	l, rng := newLog(), rand.New(rand.NewPCG(3, 5))
	for day := 0.0; day < 3650; day++ {
		for _, hour := range []float64{7, 20} {
			at := day + hour/24 + rng.Float64()/48
			l.read(at, "pH", 8.1+0.1*(hour-13)/7+0.03*rng.NormFloat64(), 2, "NBS")
			l.read(at, "temperature", 25.5+0.3*rng.NormFloat64(), 1, "°C")
		}
		if int(day)%2 == 0 {
			l.read(day+0.8, "alkalinity", 8.3+0.3*rng.NormFloat64(), 1, "dKH")
		}
		if int(day)%3 == 0 {
			l.read(day+0.8, "salinity", 35+0.4*rng.NormFloat64(), 1, "PSU")
			l.read(day+0.8, "calcium", 425+12*rng.NormFloat64(), 0, "mg/L")
		}
		if int(day)%7 == 0 {
			l.read(day+0.8, "magnesium", 1320+30*rng.NormFloat64(), 0, "mg/L")
			l.read(day+0.8, "total ammonia", 0.05*rng.Float64(), 2, "mg/L")
		}
		l.add(day+0.9, book.KindDose, &book.Dose{Substance: "sodium bicarbonate", Amount: "12", Unit: "g"})
	}
	return l.facts(3651)
}

// The desk of the pages remembers what it thinks of each reading.
func BenchmarkPastTenYears(b *testing.B) {
	f, d := tenYears(b), standing.NewDesk()
	if _, err := waterbench.PastFrom(d, f, "quay", onDay(3651)); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if s, err := waterbench.PastFrom(d, f, "quay", onDay(3651)); err != nil || len(s[0].Points) != 4000 {
			b.Fatal(err, len(s))
		}
	}
}

func (l *logOf) sample(day float64, quantity string, v book.Number, unit string, tempC book.Number) {
	l.add(day, book.KindReading, &book.Reading{Quantity: quantity, Value: v, Unit: unit, SampleTemperature: tempC, TemperatureUnit: "°C"})
}

// A reading that the rest of the log speaks against is not drawn and not told of as
// the newest: twenty weeks of 417 mg/L, and then 287.
func TestMisreadsAreLeftOutOfThePast(t *testing.T) {
	l := newLog()
	for week := range 20 {
		l.read(float64(7*week), "calcium", 417+5*math.Sin(float64(week)), 0, "mg/L")
		l.read(float64(7*week)+0.01, "salinity", 35, 1, "PSU")
	}
	l.read(140, "calcium", 287, 0, "mg/L")
	all, err := waterbench.Past(l.facts(141), "quay", onDay(141))
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range all {
		if s.Key != "calcium at 35" {
			continue
		}
		if n := len(s.Points); n != 20 || s.Points[n-1].Mean < 400 {
			t.Errorf("%d points, the last %v", n, s.Points[n-1])
		}
		if text := strings.Join(s.Assumed, "; "); !strings.Contains(text, "misread (1)") || strings.Contains(s.Says, "below") {
			t.Errorf("says %q, taken for granted %q", s.Says, text)
		}
		return
	}
	t.Error("there is no series of calcium")
}
