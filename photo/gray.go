package photo

import (
	"image"
	"math"
)

// Gray is a plane of light, 0 to 1.
type Gray struct {
	W, H int
	Pix  []float32 // row by row
}

// NewGray makes a dark plane.
func NewGray(w, h int) *Gray { return &Gray{W: w, H: h, Pix: make([]float32, w*h)} }

// Smaller is the least whole number by which a picture must be divided to be no wider
// or taller than most.
func Smaller(w, h, most int) float64 {
	return math.Max(float64(max(w, h))/float64(most), 1)
}

// ToGray is the light of a picture, each pixel the mean of by times by of its own. The
// light of JPEG pictures is taken as it is stored; of others it is by ITU-R BT.601.
func ToGray(img image.Image, by float64) *Gray {
	b := img.Bounds()
	w, h := max(int(float64(b.Dx())/by+0.5), 1), max(int(float64(b.Dy())/by+0.5), 1)
	row := rowReader(img)
	g := NewGray(w, h)
	xs, ys := spans(b.Dx(), w), spans(b.Dy(), h)
	line, sum := make([]float32, b.Dx()), make([]float32, w)
	for y := range h {
		clear(sum)
		total := float32(0)
		for k, yw := range ys[y].weights {
			row(ys[y].first+k, line)
			for x := range w {
				s := float32(0)
				for i, v := range line[xs[x].first : xs[x].first+len(xs[x].weights)] {
					s += v * xs[x].weights[i]
				}
				sum[x] += yw * s
			}
			total += yw
		}
		for x := range w {
			g.Pix[y*w+x] = sum[x] / total
		}
	}
	return g
}

// span is which pixels make one of a smaller picture, and how much of each.
type span struct {
	first   int
	weights []float32 // that sum to one
}

func spans(from, to int) []span {
	out := make([]span, to)
	by := float64(from) / float64(to)
	for i := range out {
		a, b := float64(i)*by, float64(i+1)*by
		first := int(a)
		s := span{first: first}
		for k := first; k < from && float64(k) < b-1e-9; k++ {
			s.weights = append(s.weights, float32((math.Min(b, float64(k+1))-math.Max(a, float64(k)))/by))
		}
		out[i] = s
	}
	return out
}

// rowReader reads a row of light.
func rowReader(img image.Image) func(y int, to []float32) {
	b := img.Bounds()
	switch p := img.(type) {
	case *image.YCbCr:
		return func(y int, to []float32) {
			from := p.Y[p.YOffset(b.Min.X, b.Min.Y+y):]
			for x := range to {
				to[x] = float32(from[x]) / 255
			}
		}
	case *image.Gray:
		return func(y int, to []float32) {
			from := p.Pix[p.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range to {
				to[x] = float32(from[x]) / 255
			}
		}
	case *image.RGBA:
		return func(y int, to []float32) {
			from := p.Pix[p.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range to {
				to[x] = (0.299*float32(from[4*x]) + 0.587*float32(from[4*x+1]) + 0.114*float32(from[4*x+2])) / 255
			}
		}
	}
	return func(y int, to []float32) {
		for x := range to {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			to[x] = (0.299*float32(r) + 0.587*float32(g) + 0.114*float32(bl)) / 65535
		}
	}
}

// Resize is a smaller copy of a plane, each pixel the mean of by times by of its own.
func Resize(g *Gray, by float64) *Gray {
	w, h := max(int(float64(g.W)/by+0.5), 1), max(int(float64(g.H)/by+0.5), 1)
	if w == g.W && h == g.H {
		return g
	}
	xs, ys := spans(g.W, w), spans(g.H, h)
	out, mid := NewGray(w, h), NewGray(w, g.H)
	for y := range g.H {
		row := g.Pix[y*g.W : (y+1)*g.W]
		for x := range w {
			s := float32(0)
			for i, v := range xs[x].weights {
				s += v * row[xs[x].first+i]
			}
			mid.Pix[y*w+x] = s
		}
	}
	for y := range h {
		to := out.Pix[y*w : (y+1)*w]
		for k, v := range ys[y].weights {
			row := mid.Pix[(ys[y].first+k)*w : (ys[y].first+k+1)*w]
			for x := range to {
				to[x] += v * row[x]
			}
		}
	}
	return out
}
