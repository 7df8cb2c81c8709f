package painted

import (
	"math"
	"math/rand/v2"
)

// noise is value noise on a lattice that repeats after 256.
type noise struct{ table [256 * 256]float32 }

func newNoise(rng *rand.Rand) *noise {
	n := &noise{}
	for i := range n.table {
		n.table[i] = rng.Float32()
	}
	return n
}

func (n *noise) at(x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	u, v := x-fx, y-fy
	u, v = u*u*(3-2*u), v*v*(3-2*v)
	ix, iy := int(fx)&255, int(fy)&255
	jx, jy := (ix+1)&255, (iy+1)&255
	a, b := float64(n.table[iy<<8|ix]), float64(n.table[iy<<8|jx])
	c, d := float64(n.table[jy<<8|ix]), float64(n.table[jy<<8|jx])
	return (a*(1-u)+b*u)*(1-v) + (c*(1-u)+d*u)*v
}

// rough adds octaves, 0 to 1.
func (n *noise) rough(x, y float64, octaves int) float64 {
	sum, weight, total := 0.0, 1.0, 0.0
	for range octaves {
		sum += weight * n.at(x, y)
		total += weight
		weight *= 0.6
		x, y = 2.03*x+17, 2.03*y+31
	}
	return sum / total
}
