package rehearsal

import (
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

var demoMoments = map[string]time.Time{
	"a morning in November":        time.Date(2026, 11, 25, 9, 0, 0, 0, time.UTC),
	"just after midnight in March": time.Date(2027, 3, 30, 0, 20, 0, 0, time.UTC),
	"a leap day, late":             time.Date(2028, 2, 29, 23, 55, 0, 0, time.FixedZone("west", -5*3600)),
}

func TestDemoIsABook(t *testing.T) {
	for name, now := range demoMoments {
		t.Run(name, func(t *testing.T) {
			s := DemoStory(now)
			if n := len(s.Lines); n < 1500 || n > 3300 {
				t.Errorf("%d lines, expected 1,500 to 3,300", n)
			}
			ids := map[string]bool{}
			for i, l := range s.Lines {
				if err := book.Validate(l); err != nil {
					t.Errorf("%s at %s: %v", l.Kind, l.At, err)
				}
				if l.At.After(now) || ids[l.ID] {
					t.Errorf("line %s at %s lies after now or comes twice", l.ID, l.At)
				}
				if i > 0 && l.At.Before(s.Lines[i-1].At) {
					t.Errorf("line %d is out of order", i)
				}
				ids[l.ID] = true
			}
			if p := book.Replay(s.Lines, now).Problems; len(p) > 0 {
				t.Errorf("lines that cannot be used: %v", p)
			}
			if last := s.Lines[len(s.Lines)-1].At; now.Sub(last) > 48*time.Hour {
				t.Errorf("the last line is of %s, two days before now", last)
			}
		})
	}
}

// TestDemoHasSomethingToSay holds the story to what its comment promises, and the engine's words to the truth.
func TestDemoHasSomethingToSay(t *testing.T) {
	for name, now := range demoMoments {
		t.Run(name, func(t *testing.T) {
			s := DemoStory(now)
			facts := book.Replay(s.Lines, now)
			desk := standing.NewDesk()
			of := func(tank, quantity string) standing.Quantity {
				q, err := desk.Quantity(facts, tank, quantity, now, 60)
				if err != nil {
					t.Fatal(err)
				}
				truth, ok := s.Level(tank, quantity, now)
				if !ok {
					t.Fatalf("no truth of %s in the %s", quantity, tank)
				}
				agrees(t, tank+", "+quantity+": level against the truth", q.Level.Mean, truth, 3*q.Level.SD)
				return q
			}
			for what, q := range map[string]standing.Quantity{"tiring pump": of("reading room", "alkalinity"), "media": of("prep room", "phosphate")} {
				if q.State != standing.NearEdge && q.State != standing.Outside || q.Leaves.Side != "low" {
					t.Errorf("%s: %s stands %q on side %q", what, q.Name, q.State, q.Leaves.Side)
				}
			}
			calcium := of("raising bench", "calcium")
			if last := calcium.Readings[len(calcium.Readings)-1]; last.Value != 287 || last.Misread < 0.9 {
				t.Errorf("the last calcium reading is %v with a misread chance of %.2f", last.Value, last.Misread)
			}
			kits := map[string]float64{}
			for _, k := range of("reading room", "magnesium").Kits {
				kits[k.Name] = k.Bias.Mean
			}
			if kits["magnesium drops, old box"] > -10 || kits["magnesium drops, new box"] < 10 {
				t.Errorf("the laboratory did not decide between the boxes: %v", kits)
			}
		})
	}
}
