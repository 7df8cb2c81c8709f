package rounds

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// tenYears is six invented tanks over ten years: about 40,000 readings and
// 30,000 doses and changes.
func tenYears() []book.Line {
	rng := rand.New(rand.NewPCG(7, 11))
	var lines []book.Line
	add := func(day float64, tank string, kind book.Kind, body book.Body) {
		lines = append(lines, book.Line{ID: fmt.Sprintf("line-%06d", len(lines)), Kind: kind, At: onDay(day), Tank: tank, Body: body})
	}
	number := func(v float64, decimals int) book.Number { return book.NumberOf(v, decimals) }
	tests := []struct {
		quantity, unit   string
		level, swing, sd float64
		every            float64
		decimals         int
	}{
		{"alkalinity", "dKH", 8.3, 0.4, 0.2, 2.2, 1}, {"calcium", "mg/L", 425, 12, 10, 3.5, 0}, {"magnesium", "mg/L", 1320, 30, 30, 5, 0},
		{"nitrate", "mg/L NO3", 6, 2, 0.7, 3.5, 1}, {"phosphate", "mg/L PO4", 0.06, 0.02, 0.012, 3.5, 2}, {"salinity", "PSU", 35, 0.5, 0.3, 3, 1},
	}
	for n := range 6 {
		tank := fmt.Sprintf("bay %d", n+1)
		add(-1, tank, book.KindTank, &book.Tank{Name: tank, System: "mixed", NetVolume: number(300+50*float64(n), 0), Unit: "L"})
		for _, q := range tests {
			for day := rng.Float64(); day < 3650; day += q.every * (0.6 + 0.8*rng.Float64()) {
				v := q.level + q.swing*math.Sin(day/60+float64(n)) + q.sd*rng.NormFloat64()
				add(day, tank, book.KindReading, &book.Reading{Quantity: q.quantity, Value: number(max(v, 0), q.decimals), Unit: q.unit, Instrument: q.quantity + " kit"})
			}
		}
		for day := 0.3; day < 3650; day += 1 {
			substance := []string{"sodium bicarbonate", "calcium chloride", "sodium bicarbonate", "magnesium chloride"}[int(day)%4]
			add(day, tank, book.KindDose, &book.Dose{Substance: substance, Amount: number(10+5*rng.Float64(), 1), Unit: "g"})
			if int(day)%7 == 0 {
				add(day+0.1, tank, book.KindWaterChange, &book.WaterChange{Volume: "30", Unit: "L", Mix: "usual"})
			}
			if int(day)%5 == 0 {
				add(day+0.2, tank, book.KindDose, &book.Dose{Substance: "sodium bicarbonate", Amount: "8", Unit: "g"})
			}
		}
	}
	return lines
}

func BenchmarkRoundsTenYears(b *testing.B) {
	on := onDay(3650)
	f := book.Replay(tenYears(), on)
	readings, deeds := 0, 0
	for _, t := range f.Tanks {
		for _, e := range t.Events {
			if e.Kind == book.KindReading {
				readings++
			} else {
				deeds++
			}
		}
	}
	run := func(b *testing.B, d *standing.Desk, f *book.Facts, on time.Time) {
		if _, err := Make(d, f, on); err != nil {
			b.Fatal(err)
		}
	}
	b.Run("cold", func(b *testing.B) {
		for b.Loop() {
			run(b, standing.NewDesk(), f, on)
		}
		b.ReportMetric(float64(readings), "readings")
		b.ReportMetric(float64(deeds), "deeds")
	})
	d := standing.NewDesk()
	d.Patience = time.Hour
	run(b, d, f, on)
	b.Run("unchanged", func(b *testing.B) {
		for b.Loop() {
			run(b, d, f, on)
		}
	})
	b.Run("a minute later, replayed anew", func(b *testing.B) {
		lines := tenYears()
		for b.Loop() {
			run(b, d, book.Replay(lines, on.Add(time.Minute)), on.Add(time.Minute))
		}
	})
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.Logf("heap with facts and standings: %d MB", m.HeapAlloc>>20)
	runtime.KeepAlive(d)
}

// BenchmarkRoundsOneNewReading is a reading written into the book of ten years
// and the rounds after it: only what it touches is worked out anew.
func BenchmarkRoundsOneNewReading(b *testing.B) {
	at := onDay(3650)
	s := book.NewMemory()
	if _, err := s.Append(b.Context(), tenYears()); err != nil {
		b.Fatal(err)
	}
	j, err := book.OpenJournal(b.Context(), s)
	if err != nil {
		b.Fatal(err)
	}
	j.Now = func() time.Time { return at }
	d := standing.NewDesk()
	d.Patience = time.Hour
	sheet := func() {
		if _, err := Make(d, j.Facts(at), at); err != nil {
			b.Fatal(err)
		}
	}
	sheet()
	for b.Loop() {
		at = at.Add(time.Second)
		err := j.Append(b.Context(), book.Line{Kind: book.KindReading, At: at, Tank: "bay 3",
			Body: &book.Reading{Quantity: "alkalinity", Value: "8.3", Unit: "dKH", Instrument: "alkalinity kit"}})
		if err != nil {
			b.Fatal(err)
		}
		sheet()
	}
}
