package align_test

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"testing"

	"driftline/internal/rehearsal/painted"
	"driftline/photo"
	"driftline/photo/align"
)

const w, h = 960, 720

// shots are a scene and photographs of it, months apart, held by hand.
func shots(seed uint64, n int, much float64) (ref *image.RGBA, later []*image.RGBA, truth []photo.Homography) {
	s := painted.NewScene(1200, 900, seed)
	rng := rand.New(rand.NewPCG(seed, 3))
	first := painted.Held(w, h, s, 0.3, rng)
	ref = s.Take(painted.Shot{W: w, H: h, Camera: first, Exposure: 1, Fish: 4, Noise: 0.01, Seed: seed})
	back, err := first.Inverse()
	if err != nil {
		panic(err)
	}
	for i := range n {
		c := painted.Held(w, h, s, much, rng)
		later = append(later, s.Take(painted.Shot{Days: 30 * float64(i+1), W: w, H: h, Camera: c, Exposure: 0.7 + 0.6*rng.Float64(),
			Warmth: 0.2 * (rng.Float64() - 0.5), Fish: 6, Noise: 0.02, Seed: seed + uint64(i) + 100}))
		truth = append(truth, back.Times(&c))
	}
	return ref, later, truth
}

// offBy is the mean distance of the corners, px at 1,600 px wide.
func offBy(got, want photo.Homography) float64 {
	sum := 0.0
	for _, p := range []photo.Point{{X: 0, Y: 0}, {X: w - 1, Y: 0}, {X: w - 1, Y: h - 1}, {X: 0, Y: h - 1}} {
		a, b := got.Map(p), want.Map(p)
		sum += math.Hypot(a.X-b.X, a.Y-b.Y)
	}
	return sum / 4 * 1600 / w
}

// The camera is known exactly here, so the error of each alignment is.
func TestKnownCameras(t *testing.T) {
	for seed := range uint64(3) {
		ref, later, truth := shots(seed+1, 4, 1)
		r, err := align.NewReference(ref)
		if err != nil {
			t.Fatal(err)
		}
		for i, img := range later {
			a, err := r.Align(img)
			if err != nil {
				t.Fatal(err)
			}
			e := offBy(a.H, truth[i])
			t.Logf("scene %d, month %d: %.2f px off, doubt %.2f px, confidence %.2f", seed, i+1, e, 1600*a.Doubt, a.Confidence)
			if !a.Aligned || e > 1.5 {
				t.Errorf("scene %d, month %d: aligned %v, %.2f px off: %s", seed, i+1, a.Aligned, e, a.Why)
			}
		}
	}
}

func TestAPictureOverItself(t *testing.T) {
	ref, _, _ := shots(5, 0, 1)
	r, err := align.NewReference(ref)
	if err != nil {
		t.Fatal(err)
	}
	a, err := r.Align(ref)
	if err != nil || !a.Aligned || offBy(a.H, photo.Same) > 0.05 {
		t.Errorf("%+v, %v", a, err)
	}
}

// What does not show the scene is not reported as aligned.
func TestWhatDoesNotFitIsRefused(t *testing.T) {
	ref, later, _ := shots(1, 1, 1)
	other, _, _ := shots(9, 0, 1)
	r, err := align.NewReference(ref)
	if err != nil {
		t.Fatal(err)
	}
	fog := image.NewRGBA(later[0].Bounds())
	rng := rand.New(rand.NewPCG(4, 4))
	for i := range fog.Pix {
		fog.Pix[i] = uint8(120 + float64(later[0].Pix[i])/40 + 12*rng.NormFloat64())
	}
	blank := image.NewGray(image.Rect(0, 0, w, h))
	for name, img := range map[string]image.Image{"another tank": other, "nothing but fog": fog, "black": blank} {
		a, err := r.Align(img)
		if err != nil || a.Aligned || a.Why == "" {
			t.Errorf("%s: %+v, %v", name, a, err)
		}
	}
	if _, err := r.Align(image.NewGray(image.Rect(0, 0, 20, 4000))); err == nil {
		t.Error("a strip of 20 pixels is taken")
	}
}

// A photograph of another size lies where the same one of the usual size does.
func TestSizesAreFullPixels(t *testing.T) {
	ref, later, truth := shots(2, 1, 1)
	r, err := align.NewReference(ref)
	if err != nil {
		t.Fatal(err)
	}
	double := image.NewGray(image.Rect(0, 0, 2*w, 2*h))
	for y := range 2 * h {
		for x := range 2 * w {
			c := later[0].RGBAAt(x/2, y/2)
			double.SetGray(x, y, color.Gray{Y: uint8((299*int(c.R) + 587*int(c.G) + 114*int(c.B)) / 1000)})
		}
	}
	a, err := r.Align(double)
	if err != nil || !a.Aligned {
		t.Fatalf("%+v, %v", a, err)
	}
	half := photo.Homography{2, 0, 0.5, 0, 2, 0.5, 0, 0, 1} // centre of pixel 0 of the usual size is at 0.5 of the double one
	if e := offBy(a.H.Times(&half), truth[0]); e > 1.5 {
		t.Errorf("%.2f px off", e)
	}
}

func BenchmarkAlign12Megapixels(b *testing.B) {
	s := painted.NewScene(1200, 900, 3)
	rng := rand.New(rand.NewPCG(3, 3))
	const w, h = 4000, 3000
	ref := s.Take(painted.Shot{W: w, H: h, Camera: painted.Held(w, h, s, 0.3, rng), Exposure: 1, Seed: 1})
	img := s.Take(painted.Shot{Days: 30, W: w, H: h, Camera: painted.Held(w, h, s, 1, rng), Exposure: 0.9, Fish: 5, Seed: 2})
	r, err := align.NewReference(ref)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if a, err := r.Align(img); err != nil || !a.Aligned {
			b.Fatalf("%+v, %v", a, err)
		}
	}
}
