package chart

import (
	"math"
	"strings"
	"testing"
)

// samplePlane has lines that are straight, so that a drawing of it can be
// checked by hand: along each, y rises by 0.1 for every unit of x.
func samplePlane() Plane {
	p := Plane{Name: "pH and alkalinity, south shelf", Third: "CO2 in balance with air of so many µatm", GoalWords: "where open air would bring it",
		X: Axis{"alkalinity", "dKH", 1, Band{7.5, 8.2, 9}}, Y: Axis{"pH", "NBS", 2, Band{8, math.NaN(), 8.4}}, Zone: zone("Europe/Lisbon"),
		Goal: &Spot{X: 8, Y: 8.36}}
	for i, label := range []string{"250", "420", "800", "1,200"} {
		base := 7.7 - .2*float64(i)
		p.Lines = append(p.Lines, Isoline{Label: label, Main: i == 1, Points: [][2]float64{{2, base + .2}, {8, base + .8}, {20, base + 2}}})
	}
	for i := range 5 {
		p.Spots = append(p.Spots, Spot{At: at("2026-03-01T08:00:00Z").AddDate(0, 0, i), X: 8.4 - .1*float64(i), Y: 8.1 - .02*float64(i), SDX: .2, SDY: .05})
	}
	return p
}

func TestPlaneStaysWithinTheDrawing(t *testing.T) {
	cases := map[string]func(*Plane){
		"usual":    func(*Plane) {},
		"empty":    func(p *Plane) { p.Spots = nil },
		"nothing":  func(p *Plane) { *p = Plane{} },
		"one":      func(p *Plane) { p.Spots, p.Goal = p.Spots[:1], nil },
		"no bands": func(p *Plane) { p.X.Band, p.Y.Band = NoBand(), NoBand() },
		"no number": func(p *Plane) {
			p.Spots[4].X, p.Spots[3].SDY, p.Goal.Y = math.NaN(), math.Inf(1), math.Inf(-1)
			p.Lines[0].Points[1][1] = math.NaN()
		},
		"far away": func(p *Plane) { p.Spots[4].X, p.Spots[4].Y = 1e9, -1e9 },
		"at once": func(p *Plane) {
			p.Spots, p.X.Band, p.Y.Band, p.Goal = []Spot{{X: 8, Y: 8}, {X: 8, Y: 8}}, NoBand(), NoBand(), nil
		},
	}
	for name, change := range cases {
		t.Run(name, func(t *testing.T) {
			p := samplePlane()
			change(&p)
			p = p.tidy()
			checkDrawing(t, p.large(Phone, "p"))
			checkDrawing(t, p.large(Wide, "w"))
		})
	}
}

// Each line is named, the main one apart, and the table holds every spot.
func TestPlaneNamesWhatItShows(t *testing.T) {
	all := string(PlaneFigure(samplePlane(), "a"))
	for _, want := range []string{">420</text>", ">800</text>", `class="isoline main"`, "alkalinity 8.0 ± 0.2 dKH", "pH 8.02 ± 0.05 NBS",
		"where open air would bring it", "The band of pH is 8.00 to 8.40 NBS", "5 Mar 2026, 08:00"} {
		if !strings.Contains(all, want) {
			t.Errorf("the figure does not hold %q", want)
		}
	}
	if n := strings.Count(all, `<th scope="row">`); n != 5 {
		t.Errorf("the table has %d rows, want the 5 spots", n)
	}
	if !strings.Contains(string(PlaneFigure(Plane{X: Axis{Name: "alkalinity"}, Y: Axis{Name: "pH"}}, "a")), "There are no readings of alkalinity and pH together.") {
		t.Error("a plane without readings does not say so")
	}
}

// The box is 0 to 10 by 0 to 10; where the lines cross its sides is plain
// arithmetic.
func TestClip(t *testing.T) {
	box := [4]float64{0, 10, 0, 10}
	for _, c := range []struct {
		a, b, from, to [2]float64
		ok             bool
	}{
		{[2]float64{2, 3}, [2]float64{4, 5}, [2]float64{2, 3}, [2]float64{4, 5}, true},       // within
		{[2]float64{-5, -5}, [2]float64{15, 15}, [2]float64{0, 0}, [2]float64{10, 10}, true}, // the diagonal
		{[2]float64{5, 5}, [2]float64{5, 25}, [2]float64{5, 5}, [2]float64{5, 10}, true},     // straight up
		{[2]float64{4, 4}, [2]float64{20, 12}, [2]float64{4, 4}, [2]float64{10, 7}, true},    // out by the right: 4 + 8·(6/16)
		{[2]float64{-4, 8}, [2]float64{8, 20}, [2]float64{}, [2]float64{}, false},            // past the corner: y is 12 at x = 0
		{[2]float64{11, 1}, [2]float64{11, 9}, [2]float64{}, [2]float64{}, false},            // beside
	} {
		from, to, ok := clip(c.a, c.b, box)
		if ok != c.ok || ok && (from != c.from || to != c.to) {
			t.Errorf("clip(%v, %v) = %v, %v, %v; want %v, %v, %v", c.a, c.b, from, to, ok, c.from, c.to, c.ok)
		}
	}
}

// What is worked out is never called a reading, nor given a kit.
func TestDerivedFiguresAreNotCalledReadings(t *testing.T) {
	p := few()
	p.Derived, p.Unit = true, ""
	for i := range p.Readings {
		p.Readings[i].Kit, p.Readings[i].Misread = "", false
	}
	all := string(Figure(p, Place{ID: "a"}))
	for _, want := range []string{"4 figures worked out from readings, 1 Mar to 21 Mar.", "<caption>Worked out from readings</caption>", `<th scope="col">Doubt</th>`} {
		if !strings.Contains(all, want) {
			t.Errorf("the figure does not hold %q", want)
		}
	}
	for _, bad := range []string{"4 readings", "Kit</th>", ">reading<"} {
		if strings.Contains(all, bad) {
			t.Errorf("the figure holds %q", bad)
		}
	}
}
