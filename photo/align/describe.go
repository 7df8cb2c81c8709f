package align

import "math"

// turns appends a feature for each direction most gradients around it have (Lowe 2004,
// section 5).
func turns(out []feature, f *feature, space []octave) []feature {
	g := space[f.octave].blurred[f.layer]
	sigma := 1.5 * f.size / space[f.octave].by
	r := int(math.Round(3 * sigma))
	var bins [turnBins]float64
	cx, cy := int(math.Round(f.ox)), int(math.Round(f.oy))
	for dy := -r; dy <= r; dy++ {
		for dx := -r; dx <= r; dx++ {
			x, y := cx+dx, cy+dy
			if x < 1 || y < 1 || x >= g.W-1 || y >= g.H-1 {
				continue
			}
			i := y*g.W + x
			gx, gy := float64(g.Pix[i+1]-g.Pix[i-1]), float64(g.Pix[i+g.W]-g.Pix[i-g.W])
			w := math.Exp(-float64(dx*dx+dy*dy) / (2 * sigma * sigma))
			b := int(math.Floor((math.Atan2(gy, gx) + math.Pi) / (2 * math.Pi) * turnBins))
			bins[(b+turnBins)%turnBins] += w * math.Sqrt(gx*gx+gy*gy)
		}
	}
	for range 2 {
		bins = smoothed(bins)
	}
	top := 0.0
	for _, v := range bins {
		top = math.Max(top, v)
	}
	for b, v := range bins {
		l, n := bins[(b+turnBins-1)%turnBins], bins[(b+1)%turnBins]
		if v < turnShare*top || v <= l || v <= n {
			continue
		}
		at := float64(b) + 0.5 + 0.5*(l-n)/(l-2*v+n)
		c := *f
		c.turn = at/turnBins*2*math.Pi - math.Pi
		out = append(out, c)
	}
	return out
}

func smoothed(b [turnBins]float64) (out [turnBins]float64) {
	for i := range b {
		out[i] = (b[(i+turnBins-1)%turnBins] + 2*b[i] + b[(i+1)%turnBins]) / 4
	}
	return out
}

// describe fills the 4 by 4 histograms of 8 directions around a feature (Lowe 2004,
// section 6) and takes the root of each share.
func describe(f *feature, space []octave) {
	g := space[f.octave].blurred[f.layer]
	cell := 3 * f.size / space[f.octave].by
	r := int(math.Round(cell * math.Sqrt2 * 2.5))
	cos, sin := math.Cos(f.turn)/cell, math.Sin(f.turn)/cell
	cx, cy := int(math.Round(f.ox)), int(math.Round(f.oy))
	var hist [6][6][8]float32
	for dy := -r; dy <= r; dy++ {
		y := cy + dy
		if y < 1 || y >= g.H-1 {
			continue
		}
		for dx := -r; dx <= r; dx++ {
			x := cx + dx
			if x < 1 || x >= g.W-1 {
				continue
			}
			u := cos*float64(dx) + sin*float64(dy)
			v := -sin*float64(dx) + cos*float64(dy)
			bx, by := u+1.5, v+1.5
			if bx <= -1 || by <= -1 || bx >= 4 || by >= 4 {
				continue
			}
			i := y*g.W + x
			gx, gy := float64(g.Pix[i+1]-g.Pix[i-1]), float64(g.Pix[i+g.W]-g.Pix[i-g.W])
			turn := (math.Atan2(gy, gx) - f.turn) / (2 * math.Pi) * 8
			turn -= 8 * math.Floor(turn/8)
			m := float32(math.Sqrt(gx*gx+gy*gy) * math.Exp(-(u*u+v*v)/8))
			share(&hist, bx+1, by+1, turn, m)
		}
	}
	f.normalise(&hist)
}

// share splits a gradient over the histograms and directions next to it.
func share(hist *[6][6][8]float32, x, y, turn float64, m float32) {
	x0, y0, t0 := int(x), int(y), int(turn)
	fx, fy, ft := float32(x-float64(x0)), float32(y-float64(y0)), float32(turn-float64(t0))
	t0 &= 7
	t1 := (t0 + 1) & 7
	for j := range 2 {
		wy := m * (1 - fy)
		if j == 1 {
			wy = m * fy
		}
		for i := range 2 {
			wx := wy * (1 - fx)
			if i == 1 {
				wx = wy * fx
			}
			h := &hist[y0+j][x0+i]
			h[t0] += wx * (1 - ft)
			h[t1] += wx * ft
		}
	}
}

func (f *feature) normalise(hist *[6][6][8]float32) {
	k, sum := 0, 0.0
	for y := 1; y <= 4; y++ {
		for x := 1; x <= 4; x++ {
			for t := range 8 {
				f.desc[k] = hist[y][x][t]
				sum += float64(hist[y][x][t]) * float64(hist[y][x][t])
				k++
			}
		}
	}
	most := 0.2 * math.Sqrt(sum)
	total := 0.0
	for i, v := range f.desc {
		f.desc[i] = float32(math.Min(float64(v), most))
		total += float64(f.desc[i])
	}
	if total <= 0 {
		return
	}
	for i, v := range f.desc {
		f.desc[i] = float32(math.Sqrt(float64(v) / total))
	}
}
