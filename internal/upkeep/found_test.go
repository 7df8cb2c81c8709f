package upkeep_test

import (
	"math"
	"testing"

	"driftline/internal/standing"
	"driftline/internal/upkeep"
)

// A pump that lost 20 % in 120 days loses 15 % in 90 if it goes on like that; with the
// usual 120 days counting as much, the middle of their logarithms is √(120·90) = 103.9.
func TestWhatWasFoundMovesTheInterval(t *testing.T) {
	f := facts(t, 200, line(0, "equipment", `"name":"left pump","type":"circulation pump"`),
		line(5, "chore", `"name":"left pump descaled"`), line(125, "chore", `"name":"left pump descaled","lost":20`))
	task := find(t, upkeep.Tasks(&f.Tanks[0], at(200)), "left pump", "descale")
	if math.Abs(task.Every-math.Sqrt(120*90)) > 1e-9 || task.Own {
		t.Errorf("every %.2f days", task.Every)
	}
	if want := "it had lost 20 % in 120 days, on 6 May"; task.Found != want {
		t.Errorf("%q, want %q", task.Found, want)
	}
	// What lost next to nothing is not left for years.
	f = facts(t, 200, line(0, "equipment", `"name":"left pump","type":"circulation pump"`),
		line(5, "chore", `"name":"left pump descaled"`), line(125, "chore", `"name":"left pump descaled","lost":0.1`))
	if task = find(t, upkeep.Tasks(&f.Tanks[0], at(200)), "left pump", "descale"); task.Every != 360 {
		t.Errorf("every %.2f days, want twice the 180 that are usual at most", task.Every)
	}
}

// Mud is renewed in parts, months apart (common practice, no source).
func TestMediaInParts(t *testing.T) {
	f := facts(t, 330, line(0, "equipment", `"name":"refugium"`),
		line(10, "chore", `"name":"refugium mud renewed","replaced":100`),
		line(200, "chore", `"name":"refugium mud renewed","replaced":33`), line(320, "chore", `"name":"refugium mud renewed","replaced":50`))
	task := find(t, upkeep.Tasks(&f.Tanks[0], at(330)), "refugium", "replace a third to a half of the mud")
	if !task.InParts || len(task.Parts) != 3 || math.Abs(task.Renewed()-1) > 1e-9 || task.Parts[2].Share != 0.5 {
		t.Errorf("%+v", task)
	}
	if wait := task.Next.Sub(at(320)).Hours() / 24; wait < 60 {
		t.Errorf("the next part after %.0f days, want 60 or more", wait)
	}
}

func TestDatesOnLabels(t *testing.T) {
	f := facts(t, 100,
		line(0, "instrument", `"name":"drops","quantity":"calcium","method":"drop titration","expires":"2026-04-20T00:00:00Z"`),
		line(0, "instrument", `"name":"old","quantity":"nitrate","method":"colour card","expires":"2026-01-20T00:00:00Z"`),
		line(50, "instrument", `"name":"old","quantity":"nitrate","method":"colour card","expires":"2027-01-20T00:00:00Z"`))
	all := upkeep.Expiring(f, at(100))
	if len(all) != 1 || all[0].What != "drops" {
		t.Errorf("%+v", all)
	}
}

// Tests that lapsed are told by what may be going wrong unseen.
func TestLapsedTests(t *testing.T) {
	var lines []string
	for day := 0.0; day <= 72; day += 12 {
		lines = append(lines, line(day, "reading", `"quantity":"Mg","value":1350,"unit":"mg/L"`), line(day, "reading", `"quantity":"calcium","value":420,"unit":"mg/L"`))
	}
	lines = append(lines, line(112, "reading", `"quantity":"calcium","value":421,"unit":"mg/L"`))
	f := facts(t, 113, lines...)
	qs := []standing.Quantity{{Name: "calcium"}, {Name: "magnesium", Leaves: standing.Leaving{PNow: 0.3}}}
	l := upkeep.TestLapses(&f.Tanks[0], qs, at(113))
	if len(l) != 1 || l[0].Quantity != "magnesium" || l[0].Usual != 12 || l[0].Risk != 0.3 || math.Abs(l[0].Days-41) > 1e-9 {
		t.Errorf("%+v", l)
	}
}
