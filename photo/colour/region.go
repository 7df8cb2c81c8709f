package colour

import (
	"errors"
	"math"

	"driftline/photo"
)

// Change is how a part of the scene changed its colour from the reference on.
type Change struct {
	Was, Is Lab
	Doubt   Lab     // one standard deviation of the difference of each
	Apart   float64 // CIEDE2000
	Seen    float64 // share of the part that the photograph shows
}

// Paler is by how much it became lighter and less colourful, in units of L* and C*, with
// one standard deviation of each.
func (c Change) Paler() (lighter, duller, lighterSD, dullerSD float64) {
	was, is := math.Hypot(c.Was.A, c.Was.B), math.Hypot(c.Is.A, c.Is.B)
	return c.Is.L - c.Was.L, was - is, c.Doubt.L, math.Hypot(c.Doubt.A, c.Doubt.B) / math.Sqrt2
}

// ErrHidden says that a photograph shows too little of a part of the scene.
var ErrHidden = errors.New("too little of it is to be seen in the photograph")

// Compare takes the colour of a part of the scene, a polygon in full pixels of the
// reference, in both pictures.
func Compare(ref, frame *photo.Light, refBy, frameBy float64, h photo.Homography, c *Correction, part []photo.Point) (Change, error) {
	inv, err := h.Inverse()
	if err != nil {
		return Change{}, err
	}
	lo, hi := photo.Bounds(part)
	step := math.Max(math.Max(hi.X-lo.X, hi.Y-lo.Y)/64, refBy)
	var was, is [3]float64
	inside, seen := 0, 0
	for y := lo.Y; y <= hi.Y; y += step {
		for x := lo.X; x <= hi.X; x += step {
			p := photo.Point{X: x, Y: y}
			if !photo.Inside(part, p) {
				continue
			}
			inside++
			q := inv.Map(p)
			a, ok := ref.At((x+0.5)/refBy-0.5, (y+0.5)/refBy-0.5)
			b, also := frame.At((q.X+0.5)/frameBy-0.5, (q.Y+0.5)/frameBy-0.5)
			if !ok || !also {
				continue
			}
			b = c.Apply(b, p)
			for k := range 3 {
				was[k] += a[k]
				is[k] += math.Min(b[k], 1)
			}
			seen++
		}
	}
	if inside == 0 || seen < inside/2 || seen < 20 {
		return Change{}, ErrHidden
	}
	for k := range 3 {
		was[k] /= float64(seen)
		is[k] /= float64(seen)
	}
	out := Change{Was: FromLight(was), Is: FromLight(is), Doubt: c.Doubt, Seen: float64(seen) / float64(inside)}
	out.Apart = Difference(out.Was, out.Is)
	return out, nil
}
