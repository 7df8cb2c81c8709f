package align

import (
	"cmp"
	"math"
	"slices"

	"driftline/photo"
)

// match is a place in the frame and the same in the reference.
type match struct {
	from, to photo.Point // frame, reference
	doubt    float64     // ratio of the best distance to the second best
	weight   float64
}

// gate says how far apart two features may be to be held for the same.
type gate struct {
	shift float64 // px
	size  float64 // log2
	turn  float64 // radians
}

const (
	mostDoubt = 0.9
	sameSpot  = 3.0 // px within which a second feature is the same place
)

// matches pairs the features of two pictures, each the other's best.
func matches(frame, ref []feature, g gate) []match {
	best := make([]int, len(frame))
	doubt := make([]float64, len(frame))
	back, backAt := make([]int, len(ref)), make([]float32, len(ref))
	for i := range back {
		back[i] = -1
	}
	for i := range frame {
		f := &frame[i]
		best[i] = -1
		first, second := float32(-1), float32(-1)
		for k := range ref {
			r := &ref[k]
			if !g.lets(f, r) {
				continue
			}
			d := dot(&f.desc, &r.desc)
			if back[k] < 0 || d > backAt[k] {
				back[k], backAt[k] = i, d
			}
			switch {
			case d > first:
				if best[i] < 0 || far(ref[best[i]].at, r.at) {
					second = first
				}
				first, best[i] = d, k
			case d > second && far(ref[best[i]].at, r.at):
				second = d
			}
		}
		if best[i] >= 0 {
			doubt[i] = math.Sqrt(math.Max(0, 2-2*float64(first)) / math.Max(1e-9, 2-2*float64(second)))
		}
	}
	var out []match
	for i, k := range best {
		if k >= 0 && back[k] == i && doubt[i] < mostDoubt {
			out = append(out, match{from: frame[i].at, to: ref[k].at, doubt: doubt[i], weight: 1})
		}
	}
	slices.SortStableFunc(out, func(a, b match) int { return cmp.Compare(a.doubt, b.doubt) })
	return out
}

func far(a, b photo.Point) bool {
	return math.Abs(a.X-b.X) > sameSpot || math.Abs(a.Y-b.Y) > sameSpot
}

func (g gate) lets(f, r *feature) bool {
	if dx, dy := f.at.X-r.at.X, f.at.Y-r.at.Y; dx > g.shift || dx < -g.shift || dy > g.shift || dy < -g.shift {
		return false
	}
	if ratio := f.size / r.size; ratio > g.size || ratio*g.size < 1 {
		return false
	}
	d := math.Abs(f.turn - r.turn)
	return d < g.turn || d > 2*math.Pi-g.turn
}

func dot(a, b *[128]float32) float32 {
	var s0, s1, s2, s3 float32
	for i := 0; i < 128; i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	return s0 + s1 + s2 + s3
}

// balance gives matches in crowded parts of the picture less weight each.
func balance(ms []match, w, h int) {
	const across, down = 8, 6
	var count [across * down]int
	cell := func(p photo.Point) int {
		x := min(max(int(p.X*across/float64(w)), 0), across-1)
		y := min(max(int(p.Y*down/float64(h)), 0), down-1)
		return y*across + x
	}
	for _, m := range ms {
		count[cell(m.to)]++
	}
	for i := range ms {
		ms[i].weight = 1 / math.Sqrt(float64(count[cell(ms[i].to)]))
	}
}
