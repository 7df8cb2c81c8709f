package photo

import (
	"errors"
	"math"
)

// Homography maps the points of one picture to those of another, row-major, the last
// figure 1.
type Homography [9]float64

// Same leaves every point where it is.
var Same = Homography{1, 0, 0, 0, 1, 0, 0, 0, 1}

// Point is a place in a picture.
type Point struct{ X, Y float64 }

// Map carries a point over; far away where it has no image.
func (h *Homography) Map(p Point) Point {
	w := h[6]*p.X + h[7]*p.Y + h[8]
	if math.Abs(w) < 1e-12 {
		w = math.Copysign(1e-12, w)
	}
	return Point{(h[0]*p.X + h[1]*p.Y + h[2]) / w, (h[3]*p.X + h[4]*p.Y + h[5]) / w}
}

// Times is the homography that does b first, then h.
func (h *Homography) Times(b *Homography) Homography {
	var out Homography
	for i := range 3 {
		for j := range 3 {
			for k := range 3 {
				out[3*i+j] += h[3*i+k] * b[3*k+j]
			}
		}
	}
	return out.scaled()
}

func (h Homography) scaled() Homography {
	if s := h[8]; s != 0 {
		for i := range h {
			h[i] /= s
		}
	}
	return h
}

// ErrFlat says that a homography cannot be turned around.
var ErrFlat = errors.New("this homography maps a plane to a line and cannot be turned around")

// Inverse maps the other way.
func (h *Homography) Inverse() (Homography, error) {
	adj := Homography{
		h[4]*h[8] - h[5]*h[7], h[2]*h[7] - h[1]*h[8], h[1]*h[5] - h[2]*h[4],
		h[5]*h[6] - h[3]*h[8], h[0]*h[8] - h[2]*h[6], h[2]*h[3] - h[0]*h[5],
		h[3]*h[7] - h[4]*h[6], h[1]*h[6] - h[0]*h[7], h[0]*h[4] - h[1]*h[3],
	}
	if det := h[0]*adj[0] + h[1]*adj[3] + h[2]*adj[6]; math.Abs(det) < 1e-12 || adj[8] == 0 {
		return Homography{}, ErrFlat
	}
	return adj.scaled(), nil
}

// Scaled is the same map between pictures of other sizes: a pixel of the working
// pictures is fromBy and toBy pixels of the full ones wide.
func (h Homography) Scaled(fromBy, toBy float64) Homography {
	// The centre of working pixel 0 lies (by-1)/2 full pixels in.
	down := Homography{1 / fromBy, 0, -(fromBy - 1) / 2 / fromBy, 0, 1 / fromBy, -(fromBy - 1) / 2 / fromBy, 0, 0, 1}
	up := Homography{toBy, 0, (toBy - 1) / 2, 0, toBy, (toBy - 1) / 2, 0, 0, 1}
	mid := h.Times(&down)
	return up.Times(&mid)
}

// Through is the homography that takes four points to four others; false where three
// of them lie on a line.
func Through(from, to [4]Point) (Homography, bool) {
	var a [8][9]float64
	for i := range 4 {
		x, y, u, v := from[i].X, from[i].Y, to[i].X, to[i].Y
		a[2*i] = [9]float64{x, y, 1, 0, 0, 0, -u * x, -u * y, u}
		a[2*i+1] = [9]float64{0, 0, 0, x, y, 1, -v * x, -v * y, v}
	}
	for c := range 8 {
		p := c
		for r := c + 1; r < 8; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		if math.Abs(a[p][c]) < 1e-10 {
			return Homography{}, false
		}
		a[c], a[p] = a[p], a[c]
		for r := range 8 {
			if r == c {
				continue
			}
			f := a[r][c] / a[c][c]
			for k := c; k < 9; k++ {
				a[r][k] -= f * a[c][k]
			}
		}
	}
	h := Homography{8: 1}
	for i := range 8 {
		h[i] = a[i][8] / a[i][i]
	}
	return h, true
}
