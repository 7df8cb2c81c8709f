package animals_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/book/booktest"
)

var start = time.Date(2026, 3, 1, 18, 0, 0, 0, time.UTC)

func at(day float64) time.Time { return start.Add(time.Duration(day * 24 * float64(time.Hour))) }

func line(day float64, tank, fields string) string {
	return fmt.Sprintf(`{"kind":"animal","at":%q,"tank":%q,%s}`, at(day).Format(time.RFC3339), tank, fields)
}

func register(t *testing.T, day float64, texts ...string) []*animals.Animal {
	t.Helper()
	var lines []book.Line
	for _, name := range []string{"reef", "quarantine"} {
		lines = append(lines, book.Line{Kind: book.KindTank, At: at(-100), ID: name, Body: &book.Tank{Name: name, NetVolume: "100", Unit: "L"}})
	}
	lines = append(lines, booktest.Parse(t, texts...)...)
	return animals.Register(book.Replay(lines, at(day)), at(day))
}

func look(day float64, tank, name string, feeding, breathing, skin int) string {
	return line(day, tank, fmt.Sprintf(`"name":%q,"what":"observed","feeding":%d,"breathing":%d,"skin":%d`, name, feeding, breathing, skin))
}

func TestRegister(t *testing.T) {
	all := register(t, 100,
		line(0, "reef", `"name":"the anemones","group":"anemone","count":5,"price":100,"currency":"EUR","origin":"a friend"`),
		line(40, "reef", `"name":"the anemones","what":"counted","count":8`),
		line(50, "reef", `"name":"the anemones","what":"split","count":2`),
		line(50, "reef", `"name":"cuttings","group":"anemone","count":2,"parent":"the anemones"`),
		line(60, "reef", `"name":"the anemones","what":"died","count":1,"cause":"in the pump"`),
		line(70, "reef", `"name":"cuttings","what":"given away","to":"the school"`),
		line(80, "reef", `"name":"the anemones","what":"moved","to":"quarantine"`))
	if len(all) != 2 {
		t.Fatalf("%d animals", len(all))
	}
	a, cut := all[0], all[1]
	if a.Count != 5 || a.Tank != "quarantine" || len(a.Losses) != 1 || a.Losses[0].Cause != "in the pump" || a.Origin != "a friend" {
		t.Errorf("%+v", a)
	}
	if cut.Here() || cut.Parent != "the anemones" || cut.Losses[0].N != 2 {
		t.Errorf("%+v", cut)
	}
}

// Fish go on when their days are over and the last three looks, a day each, were well;
// an outbreak and others that come in begin the days anew.
func TestQuarantine(t *testing.T) {
	in := line(0, "quarantine", `"name":"chromis","group":"fish","count":5,"stage":"quarantine"`)
	well := []string{look(40, "quarantine", "chromis", 4, 0, 0), look(41, "quarantine", "chromis", 4, 1, 0), look(42, "quarantine", "chromis", 3, 0, 0)}
	step := func(day float64, lines ...string) *animals.Step {
		all := register(t, day, append([]string{in}, lines...)...)
		return animals.WayIn(all[0], all, 26.5, at(day))
	}
	if s := step(20, well[0]); s == nil || s.Ready || len(s.NotYet) != 2 || !s.LookDue {
		t.Errorf("after 20 days: %+v", s)
	}
	if s := step(42.5, well...); s == nil || !s.Ready || s.Next != "meeting" || s.LookDue {
		t.Errorf("after 42 days, well: %+v", s)
	}
	if s := step(42.5, append(well, look(42.2, "quarantine", "chromis", 1, 3, 1))...); s.Ready {
		t.Error("a sick fish is let go on")
	}
	outbreak := line(30, "quarantine", `"name":"chromis","what":"outbreak"`)
	if s := step(43, append(well, outbreak)...); s.Ready || !s.Counting.Equal(at(30)) || !strings.Contains(s.Restart, "outbreak") {
		t.Errorf("after an outbreak: %+v", s)
	}
	late := line(25, "quarantine", `"name":"gobies","group":"fish","count":2,"stage":"quarantine"`)
	if s := step(43, append(well, late)...); s.Ready || !strings.Contains(s.Restart, "gobies") {
		t.Errorf("after others came in: %+v", s)
	}
	if s := step(50, line(44, "reef", `"name":"chromis","what":"died"`)); s != nil {
		t.Errorf("none is left: %+v", s)
	}
	warm, _ := animals.QuarantineDays("fish", 27)
	cool, _ := animals.QuarantineDays("fish", 20)
	if warm >= cool || warm < 30 { // 95 % of public aquaria: 30 days or more (Hadfield & Clayton 2011)
		t.Errorf("%v days warm, %v cool", warm, cool)
	}
}

// A stage that is told of under another tank takes the animal there.
func TestAStageInAnotherTank(t *testing.T) {
	all := register(t, 60, line(0, "quarantine", `"name":"chromis","group":"fish","count":5,"stage":"quarantine"`),
		line(50, "reef", `"name":"chromis","what":"stage","stage":"meeting"`))
	if a := all[0]; a.Tank != "reef" || a.Stage != "meeting" || a.Count != 5 || len(a.Stages) != 2 {
		t.Errorf("%+v", a)
	}
}

func TestMeetingAndSettling(t *testing.T) {
	calm := func(day float64, rush int) string {
		return line(day, "reef", fmt.Sprintf(`"name":"angel","what":"observed","aggression":%d`, rush))
	}
	in := line(0, "reef", `"name":"angel","group":"fish","count":1,"stage":"meeting"`)
	for days, c := range map[float64]struct {
		looks []string
		ready bool
	}{
		5:   {[]string{calm(2, 1), calm(3, 0), calm(4, 0)}, false}, // a week is not over
		8:   {[]string{calm(5, 1), calm(6, 0), calm(7, 0)}, true},
		8.5: {[]string{calm(5, 1), calm(6, 0), calm(8, 3)}, false},
	} {
		all := register(t, days, append([]string{in}, c.looks...)...)
		if s := animals.WayIn(all[0], all, 25, at(days)); s == nil || s.Ready != c.ready {
			t.Errorf("after %g days: %+v", days, s)
		}
	}
	leather := line(0, "reef", `"name":"leather","group":"coral","count":1,"stage":"settled"`)
	all := register(t, 35, leather, line(30, "reef", `"name":"leather","what":"observed","open":0`))
	if s := animals.WayIn(all[0], all, 25, at(35)); s == nil || !s.Late {
		t.Errorf("shut after a month: %+v", s)
	}
	all = register(t, 35, leather, line(8, "reef", `"name":"leather","what":"observed","open":4`))
	if s := animals.WayIn(all[0], all, 25, at(35)); s != nil {
		t.Errorf("open: %+v", s)
	}
}

// By hand, densities nearly equal: a bag of 2 L at 39 PSU into a tank of 35. To come within
// 0.5 of it 3.5 of 4 PSU are closed: 7 parts of tank water to one, about 14 L; at 2 PSU an
// hour to begin with, 2·2/4 = 1 L an hour, 14 hours.
func TestDrip(t *testing.T) {
	m, err := animals.MatchWaters(animals.Bag{Litres: 2, PSU: 39, TempC: 25, Group: "fish"}, 35, 25)
	if err != nil {
		t.Fatal(err)
	}
	for what, c := range map[string][3]float64{"litres": {m.Litres, 14, 0.1}, "litres an hour": {m.LitresPerHour, 1, 0.01}, "hours": {m.Hours, 14, 0.1}, "at the end": {m.EndPSU, 35.5, 1e-9}} {
		if math.Abs(c[0]-c[1]) > c[2] {
			t.Errorf("%s: %v, want %v", what, c[0], c[1])
		}
	}
	if m, err := animals.MatchWaters(animals.Bag{Litres: 2, PSU: 30, TempC: 25, Group: "fish"}, 35, 25); err != nil || m.Litres != 0 || !strings.Contains(strings.Join(m.Says, " "), "over 3 days") {
		t.Errorf("fish from low salinity: %+v, %v", m, err)
	}
	// The un-ionised share of ammonia goes nearly by ten a unit of pH (Clegg & Whitfield 1995).
	m, err = animals.MatchWaters(animals.Bag{Litres: 2, PSU: 34, TempC: 21, Hours: 20, PH: 6.8, Group: "fish"}, 35, 25)
	if err != nil || !m.Quickly || m.AmmoniaTimes < 15 || m.AmmoniaTimes > 35 || m.FloatMinutes < 20 {
		t.Errorf("shipped long: %+v, %v", m, err)
	}
	if _, err := animals.MatchWaters(animals.Bag{Litres: 0, PSU: 34, TempC: 25}, 35, 25); err == nil {
		t.Error("an empty bag was accepted")
	}
	if _, err := animals.MatchWaters(animals.Bag{Litres: 1, PSU: 340, TempC: 25}, 35, 25); err == nil {
		t.Error("340 PSU was accepted")
	}
}

// Ten in quarantine lose one on day 20, ten let in at once lose five in the first ten
// days: 0.9 and 0.5 live to day 30, by counting.
func TestLossesByRoute(t *testing.T) {
	lines := []string{line(0, "quarantine", `"name":"slow","group":"fish","count":10,"price":200,"currency":"EUR","stage":"quarantine"`),
		line(20, "quarantine", `"name":"slow","what":"died","count":1`), line(0, "reef", `"name":"fast","group":"fish","count":10,"price":100,"currency":"EUR"`)}
	for d := range 5 {
		lines = append(lines, line(float64(2*d+1), "reef", `"name":"fast","what":"died","count":1`))
	}
	lines = append(lines, line(10, "reef", `"name":"snails","group":"snail","count":50`))
	routes := animals.Losses(register(t, 100, lines...), "fish", at(100))
	var q animals.Route
	for _, r := range routes {
		if r.Name == "quarantine" {
			q = r
		}
	}
	if len(q.Groups) != 2 || q.Test == nil || q.Test.P > 0.1 {
		t.Fatalf("%+v", q)
	}
	for _, g := range q.Groups {
		want := map[string]float64{"quarantined": 0.9, "not quarantined": 0.5}[g.Name]
		if g.N != 10 || math.Abs(g.At[1].Survival-want) > 1e-12 || !g.Reached(30) || g.Reached(180) {
			t.Errorf("%s: %d animals, %v at 30 days, want %v", g.Name, g.N, g.At[1].Survival, want)
		}
	}
	// Nine lived 100 days and one 20: 920 animal-days for 200.
	if got, want := q.Groups[1].Cost["EUR"], 200/(920/365.25); math.Abs(got-want) > 1e-9 {
		t.Errorf("an animal-year cost %v, want %v", got, want)
	}
	if _, err := json.Marshal(q.Groups[0].At[0].Survival); err != nil {
		t.Error(err)
	}
}
