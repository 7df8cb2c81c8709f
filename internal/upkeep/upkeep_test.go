package upkeep_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/upkeep"
)

var start = time.Date(2026, 1, 1, 9, 0, 0, 0, time.UTC)

func at(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

func facts(t *testing.T, day float64, texts ...string) *book.Facts {
	t.Helper()
	lines := []book.Line{{Kind: book.KindTank, At: at(-400), ID: "tank", Body: &book.Tank{Name: "quay", NetVolume: "300", Unit: "L"}}}
	lines = append(lines, booktest.Parse(t, texts...)...)
	return book.Replay(lines, at(day))
}

func line(day float64, kind, fields string) string {
	tank := `"tank":"quay",`
	if kind == "instrument" {
		tank = ""
	}
	return fmt.Sprintf(`{"kind":%q,"at":%q,%s%s}`, kind, at(day).Format(time.RFC3339), tank, fields)
}

func find(t *testing.T, all []upkeep.Task, thing, do string) upkeep.Task {
	t.Helper()
	for _, x := range all {
		if x.Thing == thing && x.Do == do {
			return x
		}
	}
	t.Fatalf("%s: %s is not among %+v", thing, do, all)
	return upkeep.Task{}
}

// A circulation pump is descaled about every 120 days, 60 to 180 (common practice, no
// source); four turns 90 days apart are the keeper's own rhythm.
func TestTasks(t *testing.T) {
	pump := line(0, "equipment", `"name":"left pump","type":"circulation pump"`)
	f := facts(t, 400, pump)
	task := find(t, upkeep.Tasks(&f.Tanks[0], at(400)), "left pump", "descale")
	if task.Every != 120 || !task.Last.IsZero() || !task.Next.Equal(at(120)) || math.Abs(task.Late(at(240))-1) > 1e-9 || task.Caution == "" {
		t.Errorf("never done: %+v", task)
	}
	var turns []string
	for _, day := range []float64{10, 100, 190, 280} {
		turns = append(turns, line(day, "chore", `"name":"left pump descaled"`))
	}
	f = facts(t, 400, append(turns, pump, line(300, "chore", `"name":"glass cleaned"`))...)
	task = find(t, upkeep.Tasks(&f.Tanks[0], at(400)), "left pump", "descale")
	if !task.Own || math.Abs(task.Every-90) > 1e-9 || !task.Next.Equal(at(370)) {
		t.Errorf("every 90 days: %+v", task)
	}
	// What a routine asks for is not asked for twice.
	f = facts(t, 400, pump, line(1, "routine", `"name":"pumps","action":"chore","chore":"left pump cleaned","every_days":60`))
	for _, x := range upkeep.Tasks(&f.Tanks[0], at(400)) {
		if x.Do == "descale" {
			t.Errorf("asked for twice: %+v", x)
		}
	}
}

// Hobby kits about nine months, refractometers calibrated about every fortnight (common
// practice, no source). One nobody uses needs nothing.
func TestInstruments(t *testing.T) {
	f := facts(t, 300,
		line(0, "instrument", `"name":"old drops","quantity":"calcium","method":"drop titration","unit":"mg/L"`),
		line(0, "instrument", `"name":"unused","quantity":"calcium","method":"drop titration","unit":"mg/L"`),
		line(0, "instrument", `"name":"glass","quantity":"salinity","method":"refractometer","unit":"PSU"`),
		line(295, "reading", `"quantity":"calcium","value":420,"unit":"mg/L","instrument":"old drops"`),
		line(296, "reading", `"quantity":"salinity","value":35,"unit":"PSU","instrument":"glass"`),
		line(290, "chore", `"name":"glass refractometer calibrated"`))
	all := upkeep.Instruments(f, at(300))
	if kit := find(t, all, "old drops", "renew the reagents"); !kit.Next.Equal(at(270)) {
		t.Errorf("%+v", kit)
	}
	if r := find(t, all, "glass", "calibrate with a standard of 35 PSU"); !r.Next.Equal(at(304)) {
		t.Errorf("%+v", r)
	}
	for _, x := range all {
		if x.Thing == "unused" {
			t.Errorf("%+v", x)
		}
	}
}

func TestLapses(t *testing.T) {
	var lines []string
	for day := 0.0; day <= 60; day += 6 {
		lines = append(lines, line(day, "chore", `"name":"glass cleaned"`))
	}
	lines = append(lines, line(58, "chore", `"name":"once"`))
	f := facts(t, 101, lines...)
	if l := upkeep.Lapses(&f.Tanks[0], at(70)); len(l) != 0 {
		t.Errorf("ten days after: %+v", l)
	}
	l := upkeep.Lapses(&f.Tanks[0], at(101))
	if len(l) != 1 || l[0].Usual != 6 || math.Abs(l[0].Days-41) > 1e-9 {
		t.Fatalf("%+v", l)
	}
	if got, want := l[0].Says(time.UTC), "glass cleaned: every 6 days until 2 March, now 41 days ago"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}
