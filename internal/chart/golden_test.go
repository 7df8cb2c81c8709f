package chart

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew")

// few is a picture small enough to check its drawing by hand.
func few() Picture {
	day := func(n int) time.Time { return at("2026-03-01T08:00:00Z").AddDate(0, 0, n) }
	p := Picture{
		Name: "alkalinity, south shelf", Unit: "dKH", Decimals: 1, Zone: zone("Europe/Lisbon"), Today: day(10),
		From: day(0), To: day(20), State: "near the edge", Now: Doubted{7.7, .12}, Band: Band{7.5, 8.2, 9}, Leaves: day(15),
		Readings: []Reading{{At: day(1), Value: 8.3, SD: .25, Kit: "drop kit"}, {At: day(4), Value: 8.0, SD: .25, Kit: "drop kit"},
			{At: day(6), Value: 9.6, SD: .25, Kit: "drop kit", Misread: true}, {At: day(9), Value: 7.7, SD: .1, Kit: "photometer"}},
		Levels: []Level{{day(0), 8.4, .2}, {day(5), 8.0, .15}, {day(10), 7.7, .12}},
		Deeds:  []Deed{{day(3), Dose, "dose, 20 mL soda solution"}, {day(7), WaterChange, "water change, 40 L"}, {day(8), Setting, "setting, pump 12 mL a day"}},
	}
	for n := 10; n <= 20; n += 5 {
		m, s := 7.7-.04*float64(n-10), .12+.02*float64(n-10)
		p.Fan = append(p.Fan, Day{day(n), m - 1.645*s, m - 1.282*s, m - .674*s, m, m + .674*s, m + 1.282*s, m + 1.645*s})
	}
	return p
}

func TestGolden(t *testing.T) {
	drawings := map[string]string{
		"small.svg":   string(Small(few())),
		"phone.svg":   string(Large(few(), Phone, "a")),
		"wide.svg":    string(Large(few(), Wide, "a")),
		"steps.svg":   string(sampleSteps().Draw()),
		"figure.html": string(Figure(few(), Place{"a", "/tanks/south%20shelf/alkalinity/chart", "/tanks/south%20shelf/alkalinity"})),
		"still.html":  string(Figure(few(), Place{ID: "a"})),
		"plane.html":  string(PlaneFigure(samplePlane(), "a")),
		"table.html":  string(Table(few())),
		"line.txt":    Line(few(), 40) + "\n" + LineKey(few()) + "\n",
	}
	for name, got := range drawings {
		t.Run(name, func(t *testing.T) {
			file := filepath.Join("testdata", name)
			if *update {
				if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(string(want), got); d != "" {
				t.Errorf("the drawing changed; look at it, then run with -update:\n%s", d)
			}
		})
	}
}

func TestDrawingIsTheSameEveryTime(t *testing.T) {
	first := Figure(few(), Place{"a", "/c", "/p"})
	for range 20 {
		if again := Figure(few(), Place{"a", "/c", "/p"}); again != first {
			t.Fatal("two drawings of one picture differ")
		}
	}
}
