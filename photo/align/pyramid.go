package align

import (
	"math"

	"driftline/photo"
)

// Scale space after Lowe 2004, section 3: so many differences an octave, the first
// blur, and the blur a camera leaves.
const (
	layers    = 3
	firstBlur = 1.6
	camera    = 0.5
	smallest  = 24 // px of the last octave
)

// octave is one halving of the picture: its blurred copies and their differences.
type octave struct {
	blurred []*photo.Gray
	differs []*photo.Gray
	by      float64 // pixels of the first octave to one of this
}

// octaves builds the scale space of a picture.
func octaves(g *photo.Gray) []octave {
	base := blur(g, math.Sqrt(firstBlur*firstBlur-camera*camera))
	var out []octave
	by := 1.0
	for min(base.W, base.H) >= smallest {
		o := octave{blurred: []*photo.Gray{base}, by: by}
		was := firstBlur
		for i := 1; i < layers+3; i++ {
			next := firstBlur * math.Pow(2, float64(i)/layers)
			last := o.blurred[i-1]
			o.blurred = append(o.blurred, blur(last, math.Sqrt(next*next-was*was)))
			o.differs = append(o.differs, minus(o.blurred[i], last))
			was = next
		}
		out = append(out, o)
		base, by = half(o.blurred[layers]), by*2
	}
	return out
}

// blur is by a Gaussian, in two passes.
func blur(g *photo.Gray, sigma float64) *photo.Gray {
	k := kernel(sigma)
	r := len(k) - 1
	mid, out := photo.NewGray(g.W, g.H), photo.NewGray(g.W, g.H)
	line := make([]float32, g.W+2*r)
	for y := range g.H {
		row := g.Pix[y*g.W : (y+1)*g.W]
		copy(line[r:], row)
		for i := range r {
			line[i], line[r+g.W+i] = row[0], row[g.W-1]
		}
		across(mid.Pix[y*g.W:(y+1)*g.W], line, k)
	}
	for y := range g.H {
		to := out.Pix[y*g.W : (y+1)*g.W]
		for i, v := range mid.Pix[y*g.W : (y+1)*g.W] {
			to[i] = k[0] * v
		}
		for d := 1; d <= r; d++ {
			up, low := max(y-d, 0)*g.W, min(y+d, g.H-1)*g.W
			a, b, w := mid.Pix[up:up+g.W], mid.Pix[low:low+g.W], k[d]
			for i := range to {
				to[i] += w * (a[i] + b[i])
			}
		}
	}
	return out
}

// across blurs along a padded line.
func across(to, line, k []float32) {
	r := len(k) - 1
	mid := line[r : r+len(to)]
	for i := range to {
		to[i] = k[0] * mid[i]
	}
	for d := 1; d <= r; d++ {
		a, b, w := line[r-d:r-d+len(to)], line[r+d:r+d+len(to)], k[d]
		for i := range to {
			to[i] += w * (a[i] + b[i])
		}
	}
}

// kernel is half of a Gaussian, from its middle out.
func kernel(sigma float64) []float32 {
	r := max(int(math.Ceil(3*sigma)), 1)
	k, sum := make([]float64, r+1), 0.0
	for i := range k {
		k[i] = math.Exp(-float64(i*i) / (2 * sigma * sigma))
		sum += k[i]
		if i > 0 {
			sum += k[i]
		}
	}
	out := make([]float32, r+1)
	for i := range k {
		out[i] = float32(k[i] / sum)
	}
	return out
}

func minus(a, b *photo.Gray) *photo.Gray {
	out := photo.NewGray(a.W, a.H)
	for i, v := range a.Pix {
		out.Pix[i] = v - b.Pix[i]
	}
	return out
}

// half keeps every second pixel.
func half(g *photo.Gray) *photo.Gray {
	out := photo.NewGray(g.W/2, g.H/2)
	for y := range out.H {
		for x := range out.W {
			out.Pix[y*out.W+x] = g.Pix[2*y*g.W+2*x]
		}
	}
	return out
}
