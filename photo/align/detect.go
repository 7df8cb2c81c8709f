package align

import (
	"cmp"
	"math"
	"slices"

	"driftline/photo"
)

const (
	leastContrast = 0.008 // of an extremum, in light from 0 to 1; less than Lowe's, for murky water
	mostEdge      = 10.0  // ratio of curvatures
	border        = 5
	turnBins      = 36
	turnShare     = 0.8 // of the highest peak, for another orientation
)

// feature is a place that can be found again.
type feature struct {
	at     photo.Point // in the picture the scale space was built of
	size   float64     // its blur, in the same pixels
	turn   float64     // radians
	weight float64     // contrast
	desc   [128]float32
	octave int
	layer  int
	ox, oy float64 // within its octave
}

// detect finds the strongest features, spread over the picture.
func detect(space []octave, w, h, most int) []feature {
	var found []feature
	for o := range space {
		for l := 1; l <= layers; l++ {
			found = extrema(found, &space[o], o, l)
		}
	}
	found = spread(found, w, h, most)
	var out []feature
	for i := range found {
		out = turns(out, &found[i], space)
	}
	for i := range out {
		describe(&out[i], space)
	}
	return out
}

// extrema finds the places in one layer that are above or below all their neighbours.
func extrema(found []feature, o *octave, number, l int) []feature {
	below, here, above := o.differs[l-1], o.differs[l], o.differs[l+1]
	w := here.W
	for y := border; y < here.H-border; y++ {
		for x := border; x < w-border; x++ {
			i := y*w + x
			v := here.Pix[i]
			if v < 0.5*leastContrast && v > -0.5*leastContrast || !extreme(below.Pix, here.Pix, above.Pix, i, w, v) {
				continue
			}
			if f, ok := settle(o, l, x, y); ok {
				f.octave = number
				f.at = photo.Point{X: f.ox * o.by, Y: f.oy * o.by}
				f.size *= o.by
				found = append(found, f)
			}
		}
	}
	return found
}

func extreme(below, here, above []float32, i, w int, v float32) bool {
	if v > 0 {
		for _, row := range [3]int{i - w, i, i + w} {
			for k := row - 1; k <= row+1; k++ {
				if below[k] > v || above[k] > v || here[k] > v {
					return false
				}
			}
		}
		return true
	}
	for _, row := range [3]int{i - w, i, i + w} {
		for k := row - 1; k <= row+1; k++ {
			if below[k] < v || above[k] < v || here[k] < v {
				return false
			}
		}
	}
	return true
}

// settle moves an extremum to where a parabola through its neighbours has it, and
// refuses what is weak or lies along an edge.
func settle(o *octave, l, x, y int) (feature, bool) {
	var dx, dy, ds float64
	for range 5 {
		d := o.differs
		at := func(s, yy, xx int) float64 { return float64(d[s].Pix[yy*d[s].W+xx]) }
		v := at(l, y, x)
		gx, gy, gs := (at(l, y, x+1)-at(l, y, x-1))/2, (at(l, y+1, x)-at(l, y-1, x))/2, (at(l+1, y, x)-at(l-1, y, x))/2
		xx, yy, ss := at(l, y, x+1)+at(l, y, x-1)-2*v, at(l, y+1, x)+at(l, y-1, x)-2*v, at(l+1, y, x)+at(l-1, y, x)-2*v
		xy := (at(l, y+1, x+1) - at(l, y+1, x-1) - at(l, y-1, x+1) + at(l, y-1, x-1)) / 4
		xs := (at(l+1, y, x+1) - at(l+1, y, x-1) - at(l-1, y, x+1) + at(l-1, y, x-1)) / 4
		ys := (at(l+1, y+1, x) - at(l+1, y-1, x) - at(l-1, y+1, x) + at(l-1, y-1, x)) / 4
		var ok bool
		if dx, dy, ds, ok = solve3(xx, xy, xs, yy, ys, ss, -gx, -gy, -gs); !ok {
			return feature{}, false
		}
		if math.Abs(dx) < 0.5 && math.Abs(dy) < 0.5 && math.Abs(ds) < 0.5 {
			peak := v + (gx*dx+gy*dy+gs*ds)/2
			det, trace := xx*yy-xy*xy, xx+yy
			if math.Abs(peak) < leastContrast || det <= 0 || trace*trace*mostEdge >= (mostEdge+1)*(mostEdge+1)*det {
				return feature{}, false
			}
			return feature{ox: float64(x) + dx, oy: float64(y) + dy, layer: l, weight: math.Abs(peak),
				size: firstBlur * math.Pow(2, (float64(l)+ds)/layers)}, true
		}
		x, y, l = x+int(math.Round(clip(dx))), y+int(math.Round(clip(dy))), l+int(math.Round(clip(ds)))
		if l < 1 || l > layers || x < border || y < border || x >= o.differs[0].W-border || y >= o.differs[0].H-border {
			return feature{}, false
		}
	}
	return feature{}, false
}

func clip(v float64) float64 { return math.Max(-1, math.Min(1, v)) }

// solve3 solves a symmetric system.
func solve3(a, b, c, d, e, f, x, y, z float64) (u, v, w float64, ok bool) {
	det := a*(d*f-e*e) - b*(b*f-c*e) + c*(b*e-c*d)
	if math.Abs(det) < 1e-20 {
		return 0, 0, 0, false
	}
	u = (x*(d*f-e*e) - b*(y*f-e*z) + c*(y*e-d*z)) / det
	v = (a*(y*f-e*z) - x*(b*f-c*e) + c*(b*z-y*c)) / det
	w = (a*(d*z-y*e) - b*(b*z-y*c) + x*(b*e-c*d)) / det
	return u, v, w, true
}

// spread keeps the strongest features of each part of the picture.
func spread(all []feature, w, h, most int) []feature {
	if len(all) <= most {
		return all
	}
	const across, down = 10, 8
	cells := make([][]feature, across*down)
	for _, f := range all {
		cx, cy := min(int(f.at.X*across/float64(w)), across-1), min(int(f.at.Y*down/float64(h)), down-1)
		cells[cy*across+cx] = append(cells[cy*across+cx], f)
	}
	for _, c := range cells {
		slices.SortStableFunc(c, func(a, b feature) int { return cmp.Compare(b.weight, a.weight) })
	}
	var out []feature
	for rank := 0; len(out) < most; rank++ {
		any := false
		for _, c := range cells {
			if rank < len(c) && len(out) < most {
				out, any = append(out, c[rank]), true
			}
		}
		if !any {
			break
		}
	}
	return out
}
