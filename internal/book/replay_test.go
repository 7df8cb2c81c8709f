package book_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
)

func day(n float64) time.Time {
	return time.Date(2026, 1, 1, 8, 0, 0, 0, time.UTC).Add(time.Duration(n * 24 * float64(time.Hour)))
}

func tankLine(id, name string, on float64) book.Line {
	return book.Line{ID: id, Kind: book.KindTank, At: day(on), Body: &book.Tank{Name: name, NetVolume: "100", Unit: "L", TimeZone: "Europe/Lisbon"}}
}

func reading(id, value string, on float64, replaces string) book.Line {
	return book.Line{ID: id, Kind: book.KindReading, At: day(on), Tank: "north", Replaces: replaces,
		Body: &book.Reading{Quantity: "alkalinity", Value: book.Number(value), Unit: "dKH", Instrument: "Kit"}}
}

func void(id string, on float64, replaces string) book.Line {
	return book.Line{ID: id, Kind: book.KindVoid, At: day(on), Replaces: replaces}
}

// The rules are those stated above inForce; there is no outside source.
func TestCorrections(t *testing.T) {
	a := reading("a", "8.0", 1, "")
	tests := []struct {
		name  string
		lines []book.Line
		want  string // values in force on day 30
	}{
		{"nothing corrected", []book.Line{a, reading("b", "8.1", 2, "")}, "8.0 8.1"},
		{"a correction", []book.Line{a, reading("b", "8.1", 1, "a")}, "8.1"},
		{"a chain", []book.Line{a, reading("b", "8.1", 1, "a"), reading("c", "8.2", 1, "b")}, "8.2"},
		{"a chain in another order", []book.Line{reading("c", "8.2", 1, "b"), a, reading("b", "8.1", 1, "a")}, "8.2"},
		{"a correction that moves the time back", []book.Line{a, reading("b", "8.1", 0.5, "a")}, "8.1"},
		{"two corrections of one line", []book.Line{a, reading("b", "8.1", 1, "a"), reading("c", "8.2", 1, "a")}, "8.2"},
		{"two, the first corrected again", []book.Line{a, reading("b", "8.1", 1, "a"), reading("c", "8.2", 1, "a"), reading("d", "8.3", 1, "b")}, "8.3"},
		{"a retraction", []book.Line{a, void("v", 2, "a")}, ""},
		{"a retracted correction does not bring the mistake back", []book.Line{a, reading("b", "8.1", 1, "a"), void("v", 2, "b")}, ""},
		{"a retracted retraction", []book.Line{a, void("v", 2, "a"), void("w", 3, "v")}, "8.0"},
		{"a retraction retracted twice over", []book.Line{a, void("v", 2, "a"), void("w", 3, "v"), void("x", 4, "w")}, ""},
		{"a retracted retraction of a correction", []book.Line{a, reading("b", "8.1", 1, "a"), void("v", 2, "b"), void("w", 3, "v")}, "8.1"},
		{"told anew after a retraction", []book.Line{a, void("v", 2, "a"), reading("b", "8.1", 3, "v")}, "8.1"},
		{"corrected after a retraction", []book.Line{a, void("v", 2, "a"), reading("b", "8.1", 3, "a")}, "8.1"},
		{"retracted after a correction elsewhere", []book.Line{a, reading("b", "8.1", 1, "a"), void("v", 2, "a")}, ""},
		{"a correction of nothing stands", []book.Line{reading("b", "8.1", 1, "gone")}, "8.1"},
		{"a correction later than as-of is not there yet", []book.Line{a, reading("b", "8.1", 40, "a")}, "8.0"},
		{"a retraction later than as-of is not there yet", []book.Line{a, void("v", 40, "a")}, "8.0"},
		{"a correction into the past of a line later than as-of", []book.Line{reading("a", "8.0", 40, ""), reading("b", "8.1", 1, "a")}, "8.1"},
		{"a ring", []book.Line{reading("a", "8.0", 1, "b"), reading("b", "8.1", 1, "a")}, ""},
		{"a line that names itself", []book.Line{reading("a", "8.0", 1, "a")}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			f := book.Replay(append([]book.Line{tankLine("t", "North", 0)}, test.lines...), day(30))
			north, ok := f.Tank("NORTH")
			if !ok {
				t.Fatal("the tank is gone")
			}
			var got []string
			for _, l := range north.Events {
				got = append(got, string(l.Body.(*book.Reading).Value))
			}
			if s := strings.Join(got, " "); s != test.want {
				t.Errorf("in force %q, want %q", s, test.want)
			}
		})
	}
}

// A chain as long as a book must not be slow nor exhaust the stack.
func TestLongChains(t *testing.T) {
	const n = 50_000
	lines := []book.Line{tankLine("t", "North", 0), reading("c0", "8.0", 1, "")}
	voids := []book.Line{tankLine("t", "North", 0), reading("c0", "8.0", 1, "")}
	for i := 1; i <= n; i++ {
		id, before := fmt.Sprint("c", i), fmt.Sprint("c", i-1)
		lines = append(lines, reading(id, "8.1", 1, before))
		voids = append(voids, void(id, 2, before))
	}
	f := book.Replay(lines, day(30))
	if got := f.Tanks[0].Events; len(got) != 1 || got[0].ID != fmt.Sprint("c", n) {
		t.Errorf("%d events, want the last", len(got))
	}
	slices.Reverse(lines[1:])
	if got := book.Replay(lines, day(30)).Tanks[0].Events; len(got) != 1 || got[0].ID != fmt.Sprint("c", n) {
		t.Errorf("backwards: %d events, want the end of the chain", len(got))
	}
	if got := book.Replay(voids, day(30)).Tanks[0].Events; len(got) != 1 { // an even number of voids
		t.Errorf("voids of voids: %d events, want 1", len(got))
	}
}

func TestDeclaredHistory(t *testing.T) {
	mix := func(id, calcium string, on float64) book.Line {
		return book.Line{ID: id, Kind: book.KindMix, At: day(on), Body: &book.Mix{Name: "Bench Mix",
			Composition: []book.Contained{{Quantity: "calcium", Value: book.Number(calcium), Unit: "mg/L"}}}}
	}
	f := book.Replay([]book.Line{mix("m1", "400", 10), mix("m2", "420", 20), mix("m3", "440", 30)}, day(25))
	for _, test := range []struct {
		on   float64
		want book.Number
	}{{5, "400"}, {10, "400"}, {19.9, "400"}, {20, "420"}, {24, "420"}, {99, "420"}} {
		m, ok := f.MixAt(" bench  mix", day(test.on))
		if !ok || m.Composition[0].Value != test.want {
			t.Errorf("on day %v: %+v, want calcium %s", test.on, m, test.want)
		}
	}
	if _, ok := f.MixAt("another", day(20)); ok {
		t.Error("an undeclared mix was found")
	}
}

func TestInstrumentsGoByQuantity(t *testing.T) {
	kit := func(id, quantity, sd string) book.Line {
		return book.Line{ID: id, Kind: book.KindInstrument, At: day(0), Body: &book.Instrument{Name: "Lab", Quantity: quantity, SD: book.Number(sd)}}
	}
	f := book.Replay([]book.Line{kit("1", "calcium", "5"), kit("2", "Alk", "0.1")}, day(1))
	if i, ok := f.InstrumentAt("lab", "alkalinity", day(1)); !ok || i.SD != "0.1" {
		t.Errorf("alkalinity: %+v, %v", i, ok)
	}
	if i, ok := f.InstrumentAt("lab", "CA", day(1)); !ok || i.SD != "5" {
		t.Errorf("calcium: %+v, %v", i, ok)
	}
	if _, ok := f.InstrumentAt("lab", "nitrate", day(1)); ok {
		t.Error("found for nitrate, for which it is not declared")
	}
}

func TestTankFacts(t *testing.T) {
	body := func(id string, k book.Kind, b book.Body, on float64) book.Line {
		return book.Line{ID: id, Kind: k, At: day(on), Tank: "North", Body: b}
	}
	pump := func(amount string) *book.Routine {
		return &book.Routine{Name: "Pump", Action: "dose", Amount: book.Number(amount)}
	}
	lines := []book.Line{
		reading("before", "8.0", -1, ""), // told of before the tank was declared
		tankLine("t1", "North", 0), tankLine("t2", "South", 0),
		body("b1", book.KindBand, &book.Band{Quantity: "alk", Low: "7"}, 1), body("b2", book.KindBand, &book.Band{Quantity: "Alkalinity", Low: "7.5"}, 2),
		body("r1", book.KindRoutine, pump("1"), 1), body("r2", book.KindRoutine, &book.Routine{Name: "Wipe", Action: "chore"}, 1),
		body("r3", book.KindRoutine, pump("2"), 3), body("e", book.KindEquipment, &book.Equipment{Name: "Pump"}, 1),
		{ID: "n1", Kind: book.KindNote, At: day(1), Note: "for all"}, {ID: "n2", Kind: book.KindNote, At: day(1), Tank: "north", Note: "x"},
		{ID: "p1", Kind: book.KindPreference, At: day(1), Body: &book.Preference{Name: "Tolerance", Value: "5 %"}},
		{ID: "p2", Kind: book.KindPreference, At: day(2), Body: &book.Preference{Name: "tolerance", Value: "10 %"}},
		{ID: "lost", Kind: book.KindChore, At: day(1), Tank: "West", Body: &book.Chore{Name: "x"}},
	}
	f := book.Replay(lines, day(10))
	north, ok := f.Tank("north")
	if !ok || len(f.Tanks) != 2 || north.Location.String() != "Europe/Lisbon" {
		t.Fatalf("tanks %+v", f.Tanks)
	}
	if b, ok := north.BandFor("KH"); !ok || b.Low != "7.5" || len(north.Bands) != 2 {
		t.Errorf("band %+v of %d", b, len(north.Bands))
	}
	if r := north.Routine("pump"); len(r) != 2 || r[1].Body.Amount != "2" {
		t.Errorf("versions of the pump: %+v", r)
	}
	if r := north.RoutinesNow(); len(r) != 2 || r[0].Body.Amount != "2" || r[1].Body.Name != "Wipe" {
		t.Errorf("routines now: %+v", r)
	}
	if len(north.Equipment) != 1 || len(north.Events) != 2 || north.Events[0].ID != "before" {
		t.Errorf("equipment %d, events %+v", len(north.Equipment), north.Events)
	}
	if len(f.Notes) != 1 || f.Preferences["tolerance"] != "10 %" {
		t.Errorf("notes %+v, preferences %v", f.Notes, f.Preferences)
	}
	if len(f.Problems) != 1 || f.Problems[0].Line != "lost" || !strings.Contains(f.Problems[0].Reason, "West") {
		t.Errorf("problems %+v", f.Problems)
	}
}

// A name that a correction changes takes the lines that used the old one along.
func TestRenamedByCorrection(t *testing.T) {
	fix := tankLine("t2", "North Window", 0)
	fix.Replaces = "t1"
	lines := []book.Line{tankLine("t1", "Nroth", 0), fix, reading("a", "8.0", 1, "")}
	lines[2].Tank = "NROTH"
	f := book.Replay(lines, day(10))
	for _, name := range []string{"nroth", "north window"} {
		tank, ok := f.Tank(name)
		if !ok || tank.Tank.Name != "North Window" || len(tank.Events) != 1 {
			t.Errorf("%s: %+v, %v", name, tank, ok)
		}
	}
	f = book.Replay(append(lines, tankLine("t3", "Nroth", 2)), day(10)) // there is one of the old name after all
	if tank, ok := f.Tank("nroth"); !ok || tank.Tank.Name != "Nroth" || len(f.Tanks) != 2 || len(tank.Events) != 1 {
		t.Errorf("old name declared again: %+v, %v", tank, ok)
	}
}

func TestReplayLeavesItsInputAlone(t *testing.T) {
	lines := []book.Line{reading("b", "8.1", 2, ""), tankLine("t", "North", 0), reading("a", "8.0", 1, "")}
	book.Replay(lines, day(30))
	if lines[0].ID != "b" || lines[1].ID != "t" {
		t.Error("the lines were put in another order")
	}
}
