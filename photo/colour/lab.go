package colour

import (
	"math"

	"driftline/photo"
)

// Lab is a colour of CIE 1976 under D65.
type Lab struct{ L, A, B float64 }

// ofLight are XYZ from linear sRGB (IEC 61966-2-1), and the white of D65.
var (
	ofLight = [9]float64{0.4124564, 0.3575761, 0.1804375, 0.2126729, 0.7151522, 0.0721750, 0.0193339, 0.1191920, 0.9503041}
	white   = [3]float64{0.95047, 1, 1.08883}
)

// FromLight is the colour of linear light.
func FromLight(v [3]float64) Lab {
	var f [3]float64
	for i := range 3 {
		x := (ofLight[3*i]*v[0] + ofLight[3*i+1]*v[1] + ofLight[3*i+2]*v[2]) / white[i]
		const d = 6.0 / 29
		if x > d*d*d {
			f[i] = math.Cbrt(x)
		} else {
			f[i] = x/(3*d*d) + 4.0/29
		}
	}
	return Lab{116*f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])}
}

// FromStored is the colour of stored values, 0 to 1.
func FromStored(r, g, b float64) Lab {
	return FromLight([3]float64{photo.Linear(r), photo.Linear(g), photo.Linear(b)})
}

const full = 2 * math.Pi

// opposite hues are half a turn apart; what rounding adds to that is not more.
const opposite = math.Pi + 1e-9

// Difference is CIEDE2000 with all weights 1; numbers in brackets are the equations of
// Sharma, Wu & Dalal 2005.
func Difference(p, q Lab) float64 {
	c1, c2 := math.Hypot(p.A, p.B), math.Hypot(q.A, q.B)
	mean7 := math.Pow((c1+c2)/2, 7)
	g := 0.5 * (1 - math.Sqrt(mean7/(mean7+math.Pow(25, 7)))) // (4)
	a1, a2 := (1+g)*p.A, (1+g)*q.A
	c1, c2 = math.Hypot(a1, p.B), math.Hypot(a2, q.B)
	h1, h2 := hue(a1, p.B), hue(a2, q.B)
	dl, dc := q.L-p.L, c2-c1
	dh, mean := 0.0, h1+h2 // (10), (14)
	if c1*c2 != 0 {
		dh = h2 - h1
		switch {
		case dh > opposite:
			dh -= full
		case dh < -opposite:
			dh += full
		}
		mean = (h1 + h2) / 2
		if math.Abs(h1-h2) > opposite {
			if h1+h2 < full {
				mean += math.Pi
			} else {
				mean -= math.Pi
			}
		}
	}
	dH := 2 * math.Sqrt(c1*c2) * math.Sin(dh/2) // (11)
	l, c := (p.L+q.L)/2, (c1+c2)/2
	rad := math.Pi / 180
	t := 1 - 0.17*math.Cos(mean-30*rad) + 0.24*math.Cos(2*mean) + 0.32*math.Cos(3*mean+6*rad) - 0.20*math.Cos(4*mean-63*rad) // (15)
	turn := 30 * rad * math.Exp(-math.Pow((mean/rad-275)/25, 2))                                                             // (16)
	c7 := math.Pow(c, 7)
	rc := 2 * math.Sqrt(c7/(c7+math.Pow(25, 7)))              // (17)
	sl := 1 + 0.015*(l-50)*(l-50)/math.Sqrt(20+(l-50)*(l-50)) // (18)
	sc, sh := 1+0.045*c, 1+0.015*c*t                          // (19), (20)
	rt := -math.Sin(2*turn) * rc                              // (21)
	return math.Sqrt(sq(dl/sl) + sq(dc/sc) + sq(dH/sh) + rt*(dc/sc)*(dH/sh))
}

func sq(v float64) float64 { return v * v }

func hue(a, b float64) float64 {
	if a == 0 && b == 0 {
		return 0
	}
	h := math.Atan2(b, a)
	if h < 0 {
		h += full
	}
	return h
}
