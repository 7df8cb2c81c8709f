package outline_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"

	"driftline/internal/rehearsal/painted"
	"driftline/photo"
	"driftline/photo/outline"
)

const w, h = 800, 600

// month is a photograph of a painted scene and its camera, photograph to scene.
func month(s *painted.Scene, days float64, seed uint64) (*photo.Light, photo.Homography) {
	rng := rand.New(rand.NewPCG(seed, 9))
	c := painted.Held(w, h, s, 0.6, rng)
	return photo.ToLight(s.Take(painted.Shot{Days: days, W: w, H: h, Camera: c, Exposure: 0.8 + 0.4*rng.Float64(), Warmth: 0.1, Fish: 2, Noise: 0.015, Seed: seed}), 1), c
}

// drawn is an outline as a hand clicks it: some corners, each a little off.
func drawn(p []photo.Point, corners int, off float64, seed uint64) []photo.Point {
	rng := rand.New(rand.NewPCG(seed, 4))
	out := make([]photo.Point, corners)
	for i := range out {
		q := p[i*len(p)/corners]
		out[i] = photo.Point{X: q.X + off*rng.NormFloat64(), Y: q.Y + off*rng.NormFloat64()}
	}
	return out
}

func errorOf(got, want []photo.Point) float64 { return 100 * (photo.Area(got)/photo.Area(want) - 1) }

// The painted colonies have known edges: outlines of a clumsy hand come within 3 % of
// their areas on average, closer than the hand.
func TestHelpedOutlines(t *testing.T) {
	hand, helped, n := 0.0, 0.0, 0
	for seed := range uint64(3) {
		s := painted.NewScene(1000, 750, seed+1)
		l, c := month(s, 60, seed)
		inv, err := c.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		for k := range s.Colonies {
			truth := photo.Moved(s.Colonies[k].Outline(60), &inv)
			rough := drawn(truth, 16, 1.5, seed*10+uint64(k))
			r, err := outline.Refine(l, 1, rough, outline.Options{})
			if err != nil {
				t.Fatal(err)
			}
			hand += math.Abs(errorOf(rough, truth))
			helped += math.Abs(errorOf(r.Polygon, truth))
			n++
		}
	}
	hand, helped = hand/float64(n), helped/float64(n)
	t.Logf("area off by %.2f %% as drawn, %.2f %% helped", hand, helped)
	if helped > 3 || helped > hand {
		t.Errorf("area off by %.2f %% as drawn, %.2f %% helped", hand, helped)
	}
}

// Carried from month to month without a hand, areas stay within 5 % on average.
func TestCarriedOutlines(t *testing.T) {
	s := painted.NewScene(1000, 750, 6)
	sum, n := 0.0, 0
	for k := range s.Colonies {
		l, c := month(s, 0, 50)
		inv, _ := c.Inverse()
		r, err := outline.Refine(l, 1, drawn(photo.Moved(s.Colonies[k].Outline(0), &inv), 16, 1.2, 3), outline.Options{})
		if err != nil {
			t.Fatal(err)
		}
		last := photo.Moved(r.Polygon, &c)
		for m := 1; m <= 6; m++ {
			l, c := month(s, 30*float64(m), 50+uint64(m))
			inv, _ := c.Inverse()
			r, err := outline.Refine(l, 1, photo.Moved(last, &inv), outline.Options{Carried: true})
			if err != nil {
				t.Fatal(err)
			}
			last = photo.Moved(r.Polygon, &c)
			sum += math.Abs(errorOf(last, s.Colonies[k].Outline(30*float64(m))))
			n++
		}
	}
	t.Logf("area off by %.2f %% on average of %d", sum/float64(n), n)
	if sum/float64(n) > 5 {
		t.Errorf("area off by %.2f %% on average", sum/float64(n))
	}
}

// Two strokes, one across a colony and one around it, give its outline.
func TestStrokes(t *testing.T) {
	s := painted.NewScene(1000, 750, 2)
	l, c := month(s, 30, 7)
	inv, _ := c.Inverse()
	for k := range s.Colonies {
		truth := photo.Moved(s.Colonies[k].Outline(30), &inv)
		lo, hi := photo.Bounds(truth)
		mx, my, rx, ry := (lo.X+hi.X)/2, (lo.Y+hi.Y)/2, (hi.X-lo.X)/2, (hi.Y-lo.Y)/2
		in := [][]photo.Point{{{X: mx - 0.5*rx, Y: my - 0.1*ry}, {X: mx + 0.5*rx, Y: my + 0.1*ry}, {X: mx, Y: my + 0.5*ry}, {X: mx, Y: my - 0.5*ry}}}
		var ring []photo.Point
		for a := 0.0; a < 2*math.Pi; a += 0.3 {
			ring = append(ring, photo.Point{X: mx + 1.5*rx*math.Cos(a), Y: my + 1.5*ry*math.Sin(a)})
		}
		r, err := outline.FromStrokes(l, 1, in, [][]photo.Point{ring})
		if err != nil {
			t.Fatal(err)
		}
		if e := errorOf(r.Polygon, truth); math.Abs(e) > 8 {
			t.Errorf("colony %d: area off by %.1f %%", k, e)
		}
	}
	if _, err := outline.FromStrokes(l, 1, nil, nil); !errors.Is(err, outline.ErrNoStroke) {
		t.Errorf("no stroke: %v", err)
	}
}

// A picture twice as fine gives four times the area: coordinates are full pixels.
func TestAreaGoesWithTheSquareOfTheScale(t *testing.T) {
	s := painted.NewScene(1000, 750, 3)
	l, c := month(s, 0, 11)
	inv, _ := c.Inverse()
	rough := drawn(photo.Moved(s.Colonies[0].Outline(0), &inv), 16, 1, 5)
	one, err := outline.Refine(l, 1, rough, outline.Options{})
	if err != nil {
		t.Fatal(err)
	}
	double := make([]photo.Point, len(rough))
	for i, p := range rough {
		double[i] = photo.Point{X: 2*p.X + 0.5, Y: 2*p.Y + 0.5}
	}
	two, err := outline.Refine(l, 2, double, outline.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if ratio := photo.Area(two.Polygon) / photo.Area(one.Polygon); math.Abs(ratio-4) > 1e-6 {
		t.Errorf("%.9f times the area, want 4", ratio)
	}
}

// Whatever is drawn, what comes back is finite, or a sentence.
func TestAnyDrawing(t *testing.T) {
	s := painted.NewScene(300, 225, 3)
	l := photo.ToLight(s.Take(painted.Shot{W: 240, H: 180, Camera: photo.Homography{1.2, 0, 0, 0, 1.2, 0, 0, 0, 1}, Exposure: 1, Seed: 1}), 1)
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "corners")
		var p []photo.Point
		for range n {
			p = append(p, photo.Point{X: rapid.Float64Range(-50, 300).Draw(t, "x"), Y: rapid.Float64Range(-50, 240).Draw(t, "y")})
		}
		r, err := outline.Refine(l, 1, p, outline.Options{Carried: rapid.Bool().Draw(t, "carried")})
		if err != nil {
			return
		}
		for _, q := range r.Polygon {
			if math.IsNaN(q.X+q.Y) || math.IsInf(q.X+q.Y, 0) {
				t.Fatalf("%+v", q)
			}
		}
	})
}

func BenchmarkRefine(b *testing.B) {
	s := painted.NewScene(1600, 1200, 3)
	l := photo.ToLight(s.Take(painted.Shot{W: 1600, H: 1200, Camera: photo.Same, Exposure: 1, Seed: 1}), 1)
	rough := drawn(s.Colonies[2].Outline(0), 16, 2, 5)
	for b.Loop() {
		if _, err := outline.Refine(l, 1, rough, outline.Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkStrokes(b *testing.B) {
	s := painted.NewScene(1600, 1200, 3)
	l := photo.ToLight(s.Take(painted.Shot{W: 1600, H: 1200, Camera: photo.Same, Exposure: 1, Seed: 1}), 1)
	lo, hi := photo.Bounds(s.Colonies[2].Outline(0))
	mx, my := (lo.X+hi.X)/2, (lo.Y+hi.Y)/2
	in := [][]photo.Point{{{X: mx - 50, Y: my}, {X: mx + 50, Y: my}}}
	for b.Loop() {
		if _, err := outline.FromStrokes(l, 1, in, nil); err != nil {
			b.Fatal(err)
		}
	}
}
