package align

import (
	"math"

	"driftline/photo"
)

const (
	cellSize   = 32 // px of the reference from patch to patch
	patchHalf  = 12 // px around the middle of a patch
	mostMoved  = 7.0
	leastAlike = 0.72 // correlation of two patches that are taken for the same
	lkSteps    = 8
)

// spot is a patch of the reference that can be told from its neighbourhood.
type spot struct {
	x, y    int
	norm    []float32 // its light, mean 0 and sum of squares 1
	gx, gy  []float32 // how that changes
	a, b, c float64   // inverse of the sums of products of the changes: a, b, b, c
}

// spots are the best patch of each cell of a picture.
func spots(g *photo.Gray) []spot {
	gx, gy := gradients(g)
	var out []spot
	m := patchHalf + 2
	for cy := m; cy < g.H-m; cy += cellSize {
		for cx := m; cx < g.W-m; cx += cellSize {
			bx, by, best := -1, -1, 0.0
			for y := cy; y < min(cy+cellSize, g.H-m); y += 8 {
				for x := cx; x < min(cx+cellSize, g.W-m); x += 8 {
					if v := cornerness(g, gx, gy, x, y); v > best {
						bx, by, best = x, y, v
					}
				}
			}
			if bx >= 0 && best > 1e-4 {
				if s, ok := newSpot(g, gx, gy, bx, by); ok {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

func gradients(g *photo.Gray) (gx, gy []float32) {
	gx, gy = make([]float32, len(g.Pix)), make([]float32, len(g.Pix))
	for y := 1; y < g.H-1; y++ {
		for x := 1; x < g.W-1; x++ {
			i := y*g.W + x
			gx[i], gy[i] = (g.Pix[i+1]-g.Pix[i-1])/2, (g.Pix[i+g.W]-g.Pix[i-g.W])/2
		}
	}
	return gx, gy
}

// cornerness is the smaller eigenvalue of the products of the changes, sampled coarsely.
func cornerness(g *photo.Gray, gx, gy []float32, x, y int) float64 {
	var xx, xy, yy float64
	for dy := -patchHalf; dy <= patchHalf; dy += 3 {
		row := (y+dy)*g.W + x
		for dx := -patchHalf; dx <= patchHalf; dx += 3 {
			u, v := float64(gx[row+dx]), float64(gy[row+dx])
			xx += u * u
			xy += u * v
			yy += v * v
		}
	}
	return (xx+yy)/2 - math.Sqrt((xx-yy)*(xx-yy)/4+xy*xy)
}

func newSpot(g *photo.Gray, gx, gy []float32, x, y int) (spot, bool) {
	const side = 2*patchHalf + 1
	s := spot{x: x, y: y, norm: make([]float32, side*side), gx: make([]float32, side*side), gy: make([]float32, side*side)}
	k := 0
	for dy := -patchHalf; dy <= patchHalf; dy++ {
		row := (y+dy)*g.W + x
		for dx := -patchHalf; dx <= patchHalf; dx++ {
			s.norm[k], s.gx[k], s.gy[k] = g.Pix[row+dx], gx[row+dx], gy[row+dx]
			k++
		}
	}
	size := normalise(s.norm)
	if size <= 0 {
		return s, false
	}
	var xx, xy, yy float64
	for i := range s.gx {
		s.gx[i] /= size
		s.gy[i] /= size
		xx += float64(s.gx[i] * s.gx[i])
		xy += float64(s.gx[i] * s.gy[i])
		yy += float64(s.gy[i] * s.gy[i])
	}
	det := xx*yy - xy*xy
	if det < 1e-8 {
		return s, false
	}
	s.a, s.b, s.c = yy/det, -xy/det, xx/det
	return s, true
}

// normalise brings a patch to mean 0 and sum of squares 1 and gives its size before.
func normalise(v []float32) float32 {
	sum := float32(0)
	for _, x := range v {
		sum += x
	}
	mean, squares := sum/float32(len(v)), float32(0)
	for i := range v {
		v[i] -= mean
		squares += v[i] * v[i]
	}
	size := float32(math.Sqrt(float64(squares)))
	if size < 1e-4 {
		return 0
	}
	for i := range v {
		v[i] /= size
	}
	return size
}

// displaced compares every patch with where a homography (frame to reference) has it,
// and gives where it really is.
func displaced(all []spot, frame *photo.Gray, h *photo.Homography) []match {
	inv, err := h.Inverse()
	if err != nil {
		return nil
	}
	var out []match
	buf := make([]float32, (2*patchHalf+1)*(2*patchHalf+1))
	for i := range all {
		s := &all[i]
		p := photo.Point{X: float64(s.x), Y: float64(s.y)}
		q := inv.Map(p)
		if q.X < patchHalf || q.Y < patchHalf || q.X > float64(frame.W-1-patchHalf) || q.Y > float64(frame.H-1-patchHalf) {
			continue
		}
		j := jacobian(&inv, p)
		if dx, dy, alike, ok := s.follow(frame, q, j, buf); ok {
			at := photo.Point{X: q.X + j[0]*dx + j[1]*dy, Y: q.Y + j[2]*dx + j[3]*dy}
			out = append(out, match{from: at, to: p, weight: (alike - leastAlike + 0.1) / (1.1 - leastAlike)})
		}
	}
	return out
}

// follow finds by how much a patch lies elsewhere in the frame than at q, in pixels of
// the reference.
func (s *spot) follow(frame *photo.Gray, q photo.Point, j [4]float64, buf []float32) (dx, dy, alike float64, ok bool) {
	for step := range lkSteps {
		cx, cy := q.X+j[0]*dx+j[1]*dy, q.Y+j[2]*dx+j[3]*dy
		if !sample(frame, cx, cy, j, buf) || normalise(buf) == 0 {
			return 0, 0, 0, false
		}
		var ex, ey, same float64
		for i, v := range buf {
			e := float64(v - s.norm[i])
			ex += e * float64(s.gx[i])
			ey += e * float64(s.gy[i])
			same += float64(v * s.norm[i])
		}
		mx, my := s.a*ex+s.b*ey, s.b*ex+s.c*ey
		dx, dy, alike = dx-mx, dy-my, same
		if math.Abs(dx) > mostMoved || math.Abs(dy) > mostMoved {
			return 0, 0, 0, false
		}
		if mx*mx+my*my < 1e-4 && step > 0 {
			break
		}
	}
	return dx, dy, alike, alike >= leastAlike
}

// sample reads a patch of the frame around a place, turned as the reference is.
func sample(g *photo.Gray, cx, cy float64, j [4]float64, to []float32) bool {
	reach := patchHalf * (math.Abs(j[0]) + math.Abs(j[1]) + math.Abs(j[2]) + math.Abs(j[3]))
	if cx-reach < 0 && cx < patchHalf || cy-reach < 0 && cy < patchHalf || cx < 1 || cy < 1 || cx > float64(g.W-2) || cy > float64(g.H-2) {
		return false
	}
	k := 0
	w, h := float64(g.W-1)-1e-6, float64(g.H-1)-1e-6
	for dy := -patchHalf; dy <= patchHalf; dy++ {
		x, y := cx+j[1]*float64(dy)-j[0]*patchHalf, cy+j[3]*float64(dy)-j[2]*patchHalf
		for range 2*patchHalf + 1 {
			px, py := min(max(x, 0), w), min(max(y, 0), h)
			x0, y0 := int(px), int(py)
			fx, fy := float32(px-float64(x0)), float32(py-float64(y0))
			i := y0*g.W + x0
			top := g.Pix[i] + fx*(g.Pix[i+1]-g.Pix[i])
			low := g.Pix[i+g.W] + fx*(g.Pix[i+g.W+1]-g.Pix[i+g.W])
			to[k] = top + fy*(low-top)
			k++
			x += j[0]
			y += j[2]
		}
	}
	return true
}
