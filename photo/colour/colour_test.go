package colour_test

import (
	"encoding/csv"
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"driftline/internal/rehearsal/painted"
	"driftline/photo"
	"driftline/photo/colour"
)

// Sharma, Wu & Dalal 2005, table 1; see testdata/SOURCES.md.
func TestPublishedPairs(t *testing.T) {
	f, err := os.Open("testdata/ciede2000_sharma2005.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) != 35 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, r := range rows[1:] {
		var v [8]float64
		for i := 1; i < 8; i++ {
			if v[i], err = strconv.ParseFloat(r[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		p, q := colour.Lab{L: v[1], A: v[2], B: v[3]}, colour.Lab{L: v[4], A: v[5], B: v[6]}
		if d := colour.Difference(p, q); math.Abs(d-v[7]) > 0.0001 {
			t.Errorf("pair %s: %.5f, want %.4f", r[0], d, v[7])
		}
		if d := colour.Difference(q, p); math.Abs(d-v[7]) > 0.0001 {
			t.Errorf("pair %s the other way: %.5f, want %.4f", r[0], d, v[7])
		}
	}
}

// sRGB white is L* 100, and a mid grey of 119 is L* 50.0 (CIE 15:2004 with IEC 61966-2-1:
// Y = 0.184187, 116·Y^(1/3) - 16 = 50.03).
func TestLab(t *testing.T) {
	if w := colour.FromStored(1, 1, 1); math.Abs(w.L-100) > 0.01 || math.Abs(w.A) > 0.02 || math.Abs(w.B) > 0.02 {
		t.Errorf("white is %+v", w)
	}
	if g := colour.FromStored(119.0/255, 119.0/255, 119.0/255); math.Abs(g.L-50.03) > 0.02 {
		t.Errorf("grey is %+v", g)
	}
}

// months are two photographs of a scene, the second in other light.
func months(seed uint64, exposure, warmth float64) (s *painted.Scene, ref, later *photo.Light, h photo.Homography) {
	const w, hh = 640, 480
	s = painted.NewScene(800, 600, seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	first, second := painted.Held(w, hh, s, 0.2, rng), painted.Held(w, hh, s, 1, rng)
	ref = photo.ToLight(s.Take(painted.Shot{W: w, H: hh, Camera: first, Exposure: 1, Noise: 0.01, Seed: 1}), 1)
	later = photo.ToLight(s.Take(painted.Shot{W: w, H: hh, Camera: second, Exposure: exposure, Warmth: warmth, Fish: 5, Noise: 0.02, Seed: 2}), 1)
	back, err := first.Inverse()
	if err != nil {
		panic(err)
	}
	return s, ref, later, back.Times(&second)
}

// The painted scene is known, so how far its colours are apart before and after is.
func TestMonthsBecomeComparable(t *testing.T) {
	for seed := range uint64(3) {
		_, ref, later, h := months(seed+1, 0.7, 0.2)
		c, err := colour.Fit(ref, later, 1, 1, h, nil)
		if err != nil {
			t.Fatal(err)
		}
		inv, _ := h.Inverse()
		before, after, n := 0.0, 0.0, 0
		for y := 40.0; y < 440; y += 20 {
			for x := 40.0; x < 600; x += 20 {
				var seen, want [3]float64
				k := 0
				for d := range 25 {
					px, py := x+float64(d%5)-2, y+float64(d/5)-2
					q := inv.Map(photo.Point{X: px, Y: py})
					a, ok := later.At(q.X, q.Y)
					b, _ := ref.At(px, py)
					if !ok {
						continue
					}
					k++
					for j := range 3 {
						seen[j] += a[j]
						want[j] += b[j]
					}
				}
				if k < 25 {
					continue
				}
				for j := range 3 {
					seen[j] /= 25
					want[j] /= 25
				}
				n++
				before += colour.Difference(colour.FromLight(seen), colour.FromLight(want))
				after += colour.Difference(colour.FromLight(c.Apply(seen, photo.Point{X: x, Y: y})), colour.FromLight(want))
			}
		}
		before, after = before/float64(n), after/float64(n)
		t.Logf("scene %d: %.2f apart before, %.2f after, %d places", seed, before, after, n)
		if before < 8 || after > 2.5 {
			t.Errorf("scene %d: %.2f apart before, %.2f after", seed, before, after)
		}
	}
}

// A colony that pales is told, for it is left out of the fit; one that does not is not.
func TestAColonyThatPales(t *testing.T) {
	for _, paler := range []bool{false, true} {
		s, ref, later, h := months(4, 0.8, -0.1)
		first := photo.Same
		rng := rand.New(rand.NewPCG(4, 1))
		first = painted.Held(640, 480, s, 0.2, rng)
		toPhoto, err := first.Inverse()
		if err != nil {
			t.Fatal(err)
		}
		part := photo.Moved(s.Colonies[2].Outline(0), &toPhoto)
		inv, _ := h.Inverse()
		if paler {
			outline := photo.Moved(part, &inv)
			lo, hi := photo.Bounds(outline)
			for y := max(int(lo.Y), 0); y < min(int(hi.Y)+1, later.H); y++ {
				for x := max(int(lo.X), 0); x < min(int(hi.X)+1, later.W); x++ {
					if photo.Inside(outline, photo.Point{X: float64(x), Y: float64(y)}) {
						for k := range 3 {
							i := 3*(y*later.W+x) + k
							later.Pix[i] += 0.35 * (0.6 - later.Pix[i])
						}
					}
				}
			}
		}
		wide := func(p photo.Point) bool { return photo.Inside(part, p) }
		c, err := colour.Fit(ref, later, 1, 1, h, wide)
		if err != nil {
			t.Fatal(err)
		}
		change, err := colour.Compare(ref, later, 1, 1, h, c, part)
		if err != nil {
			t.Fatal(err)
		}
		lighter, duller, lsd, dsd := change.Paler()
		t.Logf("paler %v: lighter by %.1f ± %.1f, duller by %.1f ± %.1f, %.1f apart", paler, lighter, lsd, duller, dsd, change.Apart)
		if told := lighter > 3*lsd && duller > 2*dsd; told != paler {
			t.Errorf("paler %v: lighter by %.1f ± %.1f, duller by %.1f ± %.1f", paler, lighter, lsd, duller, dsd)
		}
	}
}

func TestCard(t *testing.T) {
	known := [][3]float64{{0.1, 0.1, 0.1}, {0.3, 0.3, 0.3}, {0.6, 0.6, 0.6}, {0.4, 0.1, 0.1}, {0.1, 0.4, 0.1}, {0.1, 0.1, 0.4}, {0.5, 0.4, 0.1}}
	var seen [][3]float64
	for _, v := range known {
		seen = append(seen, [3]float64{0.5*v[0] + 0.02, 0.9*v[1] + 0.02, 1.2*v[2] + 0.02})
	}
	c, err := colour.FromCard(seen, known)
	if err != nil {
		t.Fatal(err)
	}
	for i, v := range seen {
		if d := colour.Difference(colour.FromLight(c.Apply(v, photo.Point{})), colour.FromLight(known[i])); d > 1.5 {
			t.Errorf("patch %d is %.2f apart", i, d)
		}
	}
	if _, err := colour.FromCard(seen[:4], known[:4]); !errors.Is(err, colour.ErrFewPatches) {
		t.Errorf("four patches: %v", err)
	}
}

func TestNothingInCommon(t *testing.T) {
	_, ref, later, _ := months(2, 1, 0)
	away := photo.Homography{1, 0, 5000, 0, 1, 0, 0, 0, 1}
	if _, err := colour.Fit(ref, later, 1, 1, away, nil); !errors.Is(err, colour.ErrNoOverlap) {
		t.Errorf("%v", err)
	}
}
