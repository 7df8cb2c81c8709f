package photo

import (
	"image"
	"image/color"
	"math"
)

// Light is a picture in linear light, red, green and blue for each pixel, 0 to 1.
type Light struct {
	W, H int
	Pix  []float32
}

var linear = func() (t [256]float32) {
	for i := range t {
		t[i] = float32(Linear(float64(i) / 255))
	}
	return t
}()

// Linear is the light of a stored value (IEC 61966-2-1).
func Linear(v float64) float64 {
	if v <= 0.04045 {
		return v / 12.92
	}
	return math.Pow((v+0.055)/1.055, 2.4)
}

// Stored is the value that stores a light (IEC 61966-2-1).
func Stored(v float64) float64 {
	v = min(max(v, 0), 1)
	if v <= 0.0031308 {
		return v * 12.92
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}

// ToLight is the light of a picture, each pixel the mean of by times by of its own.
func ToLight(img image.Image, by float64) *Light {
	b := img.Bounds()
	w, h := max(int(float64(b.Dx())/by+0.5), 1), max(int(float64(b.Dy())/by+0.5), 1)
	xs, ys := spans(b.Dx(), w), spans(b.Dy(), h)
	row, line := lightReader(img), make([]float32, 3*b.Dx())
	out := &Light{W: w, H: h, Pix: make([]float32, 3*w*h)}
	for y := range h {
		to := out.Pix[3*y*w : 3*(y+1)*w]
		for k, yw := range ys[y].weights {
			row(ys[y].first+k, line)
			for x := range w {
				for i, xw := range xs[x].weights {
					from, v := line[3*(xs[x].first+i):], xw*yw
					to[3*x] += v * from[0]
					to[3*x+1] += v * from[1]
					to[3*x+2] += v * from[2]
				}
			}
		}
	}
	return out
}

func lightReader(img image.Image) func(y int, to []float32) {
	b := img.Bounds()
	switch p := img.(type) {
	case *image.YCbCr:
		return func(y int, to []float32) {
			for x := range b.Dx() {
				i, c := p.YOffset(b.Min.X+x, b.Min.Y+y), p.COffset(b.Min.X+x, b.Min.Y+y)
				r, g, bl := color.YCbCrToRGB(p.Y[i], p.Cb[c], p.Cr[c])
				to[3*x], to[3*x+1], to[3*x+2] = linear[r], linear[g], linear[bl]
			}
		}
	case *image.RGBA:
		return func(y int, to []float32) {
			from := p.Pix[p.PixOffset(b.Min.X, b.Min.Y+y):]
			for x := range b.Dx() {
				to[3*x], to[3*x+1], to[3*x+2] = linear[from[4*x]], linear[from[4*x+1]], linear[from[4*x+2]]
			}
		}
	}
	return func(y int, to []float32) {
		for x := range b.Dx() {
			r, g, bl, _ := img.At(b.Min.X+x, b.Min.Y+y).RGBA()
			to[3*x], to[3*x+1], to[3*x+2] = linear[r>>8], linear[g>>8], linear[bl>>8]
		}
	}
}

// At is the light between pixels; ok is false outside the picture.
func (l *Light) At(x, y float64) (v [3]float64, ok bool) {
	if x < 0 || y < 0 || x > float64(l.W-1) || y > float64(l.H-1) {
		return v, false
	}
	x0, y0 := min(int(x), l.W-2), min(int(y), l.H-2)
	if l.W < 2 || l.H < 2 {
		return v, false
	}
	fx, fy := x-float64(x0), y-float64(y0)
	i := 3 * (y0*l.W + x0)
	for c := range 3 {
		top := float64(l.Pix[i+c])*(1-fx) + float64(l.Pix[i+3+c])*fx
		low := float64(l.Pix[i+3*l.W+c])*(1-fx) + float64(l.Pix[i+3*l.W+3+c])*fx
		v[c] = top*(1-fy) + low*fy
	}
	return v, true
}
