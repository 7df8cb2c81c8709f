package drift

import (
	"errors"
	"math"
	"testing"
)

// calm is a tank read every third day at the given values by one kit of sd 0.2.
func calm(values ...float64) Case {
	c := Case{Habit: HabitOf("alkalinity", "mixed", 1), Kits: []Kit{{SD: 0.2, BiasSD: 0.3}}, Band: Band{7, 9.5}}
	c.Feeds = []Feed{{From: -1, To: 1e6, Rate: 0.5}}
	for i, v := range values {
		c.Readings = append(c.Readings, Reading{T: 3 * float64(i), Value: v})
	}
	return c
}

func analyse(t *testing.T, c Case) *State {
	t.Helper()
	s, err := Analyse(c, c.Readings[len(c.Readings)-1].T)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func TestMisreadIsNamedAndDoesNotDrag(t *testing.T) {
	calmValues := []float64{8.2, 8.3, 8.1, 8.2, 8.4, 8.2, 8.1, 8.3, 8.2, 8.2}
	without, _ := analyse(t, calm(calmValues...)).Now()
	for _, c := range []struct {
		name  string
		at    int
		wrong float64
	}{{"a digit, in the middle", 5, 12.8}, {"a digit, last of all", 9, 12.8}, {"the point left out", 6, 820}, {"the point left out, last of all", 9, 820}} {
		t.Run(c.name, func(t *testing.T) {
			values := append([]float64(nil), calmValues...)
			values[c.at] = c.wrong
			s := analyse(t, calm(values...))
			level, _ := s.Now()
			if d := math.Abs(level.Mean - without.Mean); d > 0.15 {
				t.Errorf("the misread moved the level by %.2f dKH", d)
			}
			for i, d := range s.Readings() {
				if wrong := d.Misread > 0.5; wrong != (i == c.at) {
					t.Errorf("reading %d of %.1f: chance of a misread %.2f", i, values[i], d.Misread)
				}
			}
		})
	}
}

func TestWildLastReadingWidensDoubt(t *testing.T) {
	plain := analyse(t, calm(8.2, 8.3, 8.1, 8.2, 8.4, 8.2, 8.1, 8.3, 8.2, 8.2))
	wild := analyse(t, calm(8.2, 8.3, 8.1, 8.2, 8.4, 8.2, 8.1, 8.3, 8.2, 9.3))
	a, _ := plain.Now()
	b, _ := wild.Now()
	if b.SD <= a.SD {
		t.Errorf("doubt %.3f after a wild reading, %.3f after an ordinary one", b.SD, a.SD)
	}
}

func TestStepIsNotAMisread(t *testing.T) {
	s := analyse(t, calm(8.2, 8.3, 8.1, 8.2, 8.4, 8.2, 9.6, 9.5, 9.7, 9.6, 9.5, 9.6))
	level, _ := s.Now()
	if math.Abs(level.Mean-9.55) > 0.25 {
		t.Errorf("level %.2f after six readings near 9.6", level.Mean)
	}
	if d := s.Readings()[11]; d.Misread > 0.2 {
		t.Errorf("the last of six agreeing readings: chance of a misread %.2f", d.Misread)
	}
}

// Two kits 0.8 apart and a laboratory that sides with the second: the first
// takes the blame.
func TestLaboratorySettlesTheBias(t *testing.T) {
	c := calm()
	c.Kits = []Kit{{SD: 0.15, BiasSD: 0.5}, {SD: 0.15, BiasSD: 0.5}, {SD: 0.05, BiasSD: 0.05}}
	for i := range 12 {
		kit, v := 0, 9.0
		if i >= 6 {
			kit, v = 1, 8.2
		}
		c.Readings = append(c.Readings, Reading{T: 3 * float64(i), Value: v, Kit: kit})
	}
	before, _ := analyse(t, c).Now()
	c.Readings = append(c.Readings, Reading{T: 36, Value: 8.2, Kit: 2})
	s := analyse(t, c)
	after, _ := s.Now()
	if after.SD > 0.6*before.SD {
		t.Errorf("doubt of the level %.2f before the laboratory, %.2f after", before.SD, after.SD)
	}
	kits := s.Kits()
	if math.Abs(kits[0].Mean-0.8) > 0.25 || math.Abs(kits[1].Mean) > 0.15 {
		t.Errorf("biases %.2f and %.2f, want about 0.8 and 0", kits[0].Mean, kits[1].Mean)
	}
}

func TestBelowTheLimit(t *testing.T) {
	c := Case{Habit: HabitOf("phosphate", "mixed", 1), Kits: []Kit{{SD: 0.01, BiasSD: 0.005}}, Band: Band{0.03, 0.1}}
	for i := range 8 {
		c.Readings = append(c.Readings, Reading{T: 5 * float64(i), Value: 0.02, Below: true})
	}
	s := analyse(t, c)
	level, _ := s.Now()
	if level.Mean < 0 || level.Mean > 0.02 {
		t.Errorf("level %.4f after eight readings under 0.02", level.Mean)
	}
	for _, d := range s.Forecast(Plan{}, 30).Days {
		if d.Q[0] < 0 {
			t.Fatalf("day %g: a level under nothing: %v", d.T, d.Q)
		}
	}
}

func TestFewReadingsLeaveWideBands(t *testing.T) {
	s := analyse(t, calm(8.4, 8.1, 7.9))
	day := s.Forecast(Plan{}, 30).Days[30]
	if width := day.Q[5] - day.Q[1]; width < 2 {
		t.Errorf("three readings give an 80 %% band of only %.2f dKH after 30 days", width)
	}
}

func TestRefusesDisorder(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name string
		edit func(*Case)
	}{
		{"value not a number", func(c *Case) { c.Readings[0].Value = nan }},
		{"readings out of order", func(c *Case) { c.Readings[0].T = 99 }},
		{"unknown kit", func(c *Case) { c.Readings[1].Kit = 7 }},
		{"fraction over one", func(c *Case) { c.Changes = []Change{{T: 1, Fraction: 1.2, Mix: -1}} }},
		{"endless feed", func(c *Case) { c.Feeds[0].Rate = math.Inf(1) }},
	} {
		t.Run(c.name, func(t *testing.T) {
			x := calm(8, 8.1, 8.2)
			c.edit(&x)
			if _, err := Analyse(x, 100); err == nil {
				t.Error("accepted")
			}
		})
	}
	if _, err := Analyse(calm(8), -1); !errors.Is(err, ErrNoReadings) {
		t.Errorf("before the first reading: %v, want ErrNoReadings", err)
	}
}
