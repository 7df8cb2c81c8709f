package standing

import (
	"fmt"
	"sync"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// quayLog is three months of an invented tank: calcium and magnesium fall, a
// weekly change and a pump put some of it back.
func quayLog() []string {
	lines := []string{tankLine(),
		at(-1, `"kind":"substance","name":"stock","contains":[{"quantity":"calcium","value":50,"unit":"mg/mL"}]`),
		at(-1, `"kind":"mix","name":"mix","composition":[{"quantity":"calcium","value":440,"unit":"mg/L"},{"quantity":"magnesium","value":1350,"unit":"mg/L"}]`),
		routine(0, "pump", `"action":"dose","substance":"stock","amount":8,"unit":"mL","every_days":1,"automatic":true`),
		routine(0, "change", `"action":"water change","volume":40,"unit":"L","mix":"mix","every_days":7`),
	}
	for d := 0; d < 90; d += 7 {
		lines = append(lines, at(float64(d)+0.5, `"kind":"water change","tank":"quay","volume":40,"unit":"L","mix":"mix"`))
		lines = append(lines, reading(float64(d), "calcium", fmt.Sprintf("%d", 430-d/6+5*(d%3)), "mg/L", "drops"))
		lines = append(lines, at(float64(d)+2, `"kind":"dose","tank":"quay","substance":"magnesium chloride","amount":10,"unit":"g"`))
		if d%14 == 0 {
			lines = append(lines, reading(float64(d)+0.1, "magnesium", fmt.Sprintf("%d", 1330-d/2+10*(d%5)), "mg/L", "other drops"))
		}
	}
	return lines
}

func TestDeskRemembersUntilALineTouchesIt(t *testing.T) {
	d, asOf := NewDesk(), onDay(90)
	first, err := d.Tank(replay(t, asOf, quayLog()...), "Quay", asOf, 30)
	if err != nil || len(first) != 2 {
		t.Fatalf("%d quantities, %v", len(first), err)
	}
	again, err := d.Tank(replay(t, asOf, quayLog()...), "quay", asOf, 30)
	if err != nil || &again[0].Forecast[0] != &first[0].Forecast[0] {
		t.Error("the same log was worked out anew")
	}
	more, err := d.Tank(replay(t, asOf, append(quayLog(), reading(89.9, "magnesium", "1300", "mg/L", "other drops"))...), "quay", asOf, 30)
	if err != nil {
		t.Fatal(err)
	}
	if &more[0].Forecast[0] != &first[0].Forecast[0] || more[0].Name != "calcium" {
		t.Error("calcium was worked out anew for a magnesium reading")
	}
	if &more[1].Forecast[0] == &first[1].Forecast[0] {
		t.Error("magnesium was not worked out anew")
	}
}

func TestPatience(t *testing.T) {
	d, asOf := NewDesk(), onDay(90)
	f := replay(t, asOf, quayLog()...)
	d.Patience = 15 * time.Minute
	first, _ := d.Tank(f, "quay", asOf, 30)
	soon, _ := d.Tank(f, "quay", asOf.Add(10*time.Minute), 30)
	later, _ := d.Tank(f, "quay", asOf.Add(20*time.Minute), 30)
	if !soon[0].AsOf.Equal(first[0].AsOf) || later[0].AsOf.Equal(first[0].AsOf) {
		t.Errorf("as of %s, %s, %s", first[0].AsOf, soon[0].AsOf, later[0].AsOf)
	}
}

func TestDeskTogether(t *testing.T) {
	d, asOf := NewDesk(), onDay(90)
	f := replay(t, asOf, quayLog()...)
	var wait sync.WaitGroup
	for range 8 {
		wait.Go(func() {
			if _, err := d.Tank(f, "quay", asOf, 30); err != nil {
				t.Error(err)
			}
			if _, err := d.Ledger(f, "quay", "calcium", onDay(10), onDay(80)); err != nil {
				t.Error(err)
			}
		})
	}
	wait.Wait()
}

func TestForecastDays(t *testing.T) {
	asOf := onDay(90)
	q, err := NewDesk().Quantity(replay(t, asOf, quayLog()...), "quay", "Ca", asOf, 20)
	if err != nil {
		t.Fatal(err)
	}
	if len(q.Forecast) != 21 || len(q.HandsOff) != 21 || !q.Forecast[0].At.Equal(asOf) || !q.Forecast[20].At.Equal(onDay(110)) {
		t.Errorf("%d and %d days from %s to %s", len(q.Forecast), len(q.HandsOff), q.Forecast[0].At, q.Forecast[len(q.Forecast)-1].At)
	}
	near(t, "day 0 is the level", q.Forecast[0].Mean, q.Level.Mean, 1e-6)
	if len(q.Deeds) != 13 {
		t.Errorf("%d deeds, want the 13 changes: a magnesium salt holds no calcium", len(q.Deeds))
	}
	if e := Expect(q, asOf); e.SD <= q.Level.SD {
		t.Errorf("a reading is expected to %+v, the level is known to %+v", e, q.Level)
	}
}

func TestNeverTested(t *testing.T) {
	asOf := onDay(1)
	f := replay(t, asOf, tankLine(), at(0, `"kind":"band","tank":"quay","quantity":"magnesium","unit":"mg/L","low":1250,"aim":1320,"high":1400`))
	all, err := NewDesk().Tank(f, "quay", asOf, 30)
	if err != nil || len(all) != 1 {
		t.Fatalf("%d quantities, %v", len(all), err)
	}
	q := all[0]
	if q.State != Unknown || !q.NextTest.On.Equal(asOf) || q.Level.SD < 50 || len(q.Forecast) != 31 {
		t.Errorf("%s, next test %s, level %+v, %d days", q.State, q.NextTest.On, q.Level, len(q.Forecast))
	}
}

func TestRefusals(t *testing.T) {
	f, d := replay(t, onDay(90), quayLog()...), NewDesk()
	_, err := d.Tank(f, "nowhere", onDay(90), 30)
	if err == nil {
		t.Fatal("an undeclared tank was taken")
	}
	contains(t, err.Error(), `"quay"`)
	if _, err = d.Quantity(f, "quay", "courage", onDay(90), 30); err == nil {
		t.Error("an unknown quantity was taken")
	}
	for name, span := range map[string][2]float64{"backwards": {50, 40}, "before the first reading": {-20, -10}} {
		if _, err = d.Ledger(f, "quay", "calcium", onDay(span[0]), onDay(span[1])); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	_, err = d.Ledger(f, "quay", "nitrate", onDay(1), onDay(40))
	if err == nil {
		t.Fatal("a ledger without readings")
	}
	contains(t, err.Error(), "no reading")
}

// Whatever the log, a ledger's entries add up to the change between its levels.
func TestLedgerAddsUp(t *testing.T) {
	d, asOf := NewDesk(), onDay(90)
	unit := []string{"mg/L", "mg/L"}
	rapid.Check(t, func(rt *rapid.T) {
		lines := quayLog()
		for range rapid.IntRange(0, 6).Draw(rt, "more doses") {
			lines = append(lines, at(rapid.Float64Range(0, 89).Draw(rt, "day"),
				fmt.Sprintf(`"kind":"dose","tank":"quay","substance":"calcium chloride","amount":%.1f,"unit":"g"`, rapid.Float64Range(0.1, 60).Draw(rt, "grams"))))
		}
		quantity := rapid.SampledFrom([]string{"calcium", "magnesium"}).Draw(rt, "quantity")
		from := rapid.Float64Range(0, 80).Draw(rt, "from")
		to := rapid.Float64Range(from+0.5, 90).Draw(rt, "to")
		l, err := d.Ledger(replay(t, asOf, lines...), "quay", quantity, onDay(from), onDay(to))
		if err != nil {
			rt.Fatal(err)
		}
		sum, grams := l.From.Mean, 0.0
		for _, e := range l.Entries {
			sum += e.Change.Mean
			grams += *e.Grams
		}
		if diff := sum - l.To.Mean; diff > 1e-9 || diff < -1e-9 {
			rt.Fatalf("%s: entries end at %g, level is %g", quantity, sum, l.To.Mean)
		}
		if want := (l.To.Mean - l.From.Mean) * 400 / 1000; grams-want > 1e-9 || want-grams > 1e-9 {
			rt.Fatalf("grams %g, want %g", grams, want)
		}
		if l.Unit != unit[0] || l.Sentence == "" {
			rt.Fatalf("ledger %+v", l)
		}
	})
}

func TestLedgerOfKnownInputs(t *testing.T) {
	asOf := onDay(90)
	l, err := NewDesk().Ledger(replay(t, asOf, quayLog()...), "quay", "calcium", onDay(10), onDay(70))
	if err != nil {
		t.Fatal(err)
	}
	byName := map[string]Entry{}
	for _, e := range l.Entries {
		byName[e.Name] = e
	}
	// The pump: 8 mL a day of 50 mg/mL into 400 L, 1 mg/L a day for 60 days.
	near(t, "pump", byName["routine"].Change.Mean, 60, 1e-6)
	near(t, "pump in grams", *byName["routine"].Grams, 24, 1e-6)
	if n := byName["water change"].Count; n != 8 { // days 14.5, 21.5, … 63.5
		t.Errorf("%d changes, want 8", n)
	}
	if byName["demand"].Change.Mean >= 0 {
		t.Errorf("demand %+v", byName["demand"])
	}
	contains(t, l.Sentence, "in 60 days")
}

func TestSentence(t *testing.T) {
	l := Ledger{Quantity: "magnesium", Unit: "mg/L", Start: onDay(0), End: onDay(60), From: Estimate{1300, 10}, To: Estimate{1236, 10},
		Entries: []Entry{{Name: "dose", Change: Estimate{13, 1}}, {Name: "water change", Change: Estimate{41, 2}}, {Name: "demand", Change: Estimate{-118, 9}}, {Name: "unexplained"}}}
	if got, want := sentence(l), "Fell 64 mg/L in 60 days: demand took 118, water changes gave 41, doses 13."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	l.From.SD, l.To.SD = 100, 100
	if got, want := sentence(l), "No clear change in 60 days (−64 mg/L): demand took 118, water changes gave 41, doses 13."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
