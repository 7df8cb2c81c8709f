package painted

import (
	"image"
	"image/color"
	"math"
	"math/rand/v2"

	"driftline/photo"
)

// Colony is something that grows, in pixels of the scene.
type Colony struct {
	Name       string
	X, Y       float64
	Radius     float64 // on the first day
	Growth     float64 // of the area, a day (0.003 is 9 % in 30 days)
	Colour     color.RGBA
	lobes      [5]float64
	turns      [5]float64
	grain      float64
	grainPhase float64
}

// Scene is a tank front.
type Scene struct {
	W, H     int
	Colonies []Colony
	ground   []rgb
	seed     uint64
}

type rgb [3]float32

// NewScene paints a tank front of a size in pixels, the same for the same seed.
func NewScene(w, h int, seed uint64) *Scene {
	s := &Scene{W: w, H: h, seed: seed, ground: make([]rgb, w*h)}
	rng := rand.New(rand.NewPCG(seed, 77))
	n := newNoise(rng)
	for y := range h {
		for x := range w {
			s.ground[y*w+x] = s.rock(n, float64(x), float64(y))
		}
	}
	k := float64(w) / 1000
	hues := []color.RGBA{{196, 92, 120, 255}, {104, 150, 92, 255}, {190, 150, 88, 255}, {120, 104, 176, 255}}
	names := []string{"rose leather", "green star patch", "gold encruster", "violet fan"}
	for i, at := range [][3]float64{{270, 330, 62}, {540, 250, 48}, {700, 470, 70}, {420, 540, 40}} {
		c := Colony{Name: names[i], X: at[0] * k, Y: at[1] * k, Radius: at[2] * k, Growth: 0.0022 + 0.0012*float64(i), Colour: hues[i],
			grain: (7 + 2*float64(i)) / k, grainPhase: 10 * rng.Float64()}
		for j := range c.lobes {
			c.lobes[j], c.turns[j] = 0.16/float64(j+1)*(0.4+rng.Float64()), 2*math.Pi*rng.Float64()
		}
		s.Colonies = append(s.Colonies, c)
	}
	return s
}

// rock is the ground: rock above, sand below.
func (s *Scene) rock(n *noise, x, y float64) rgb {
	k := 1000 / float64(s.W)
	v := n.rough(x*k/46, y*k/46, 5)
	line := 0.82 + 0.05*n.rough(x*k/160, 3, 2)
	if y/float64(s.H) > line {
		g := 0.62 + 0.25*(n.rough(x*k/5, y*k/5, 2)-0.5)
		return rgb{float32(g * 1.02), float32(g * 0.97), float32(g * 0.86)}
	}
	dark := 0.16 + 0.5*v
	t := n.rough(x*k/120+40, y*k/120, 3)
	return rgb{float32(dark * (0.9 + 0.5*t)), float32(dark * (0.85 + 0.1*t)), float32(dark * (1 - 0.2*t))}
}

// Outline is a colony's edge after so many days, in pixels of the scene.
func (c *Colony) Outline(days float64) []photo.Point {
	const corners = 120
	out := make([]photo.Point, corners)
	for i := range out {
		a := 2 * math.Pi * float64(i) / corners
		r := c.reach(a, days)
		out[i] = photo.Point{X: c.X + r*math.Cos(a), Y: c.Y + r*math.Sin(a)}
	}
	return out
}

func (c *Colony) reach(angle, days float64) float64 {
	r := 1.0
	for k, a := range c.lobes {
		r += a * math.Cos(float64(k+2)*angle+c.turns[k])
	}
	return c.Radius * math.Exp(c.Growth*days/2) * r
}

// at is the colour of the scene at a place after so many days.
func (s *Scene) at(x, y, days float64) rgb {
	px, py := min(max(x, 0), float64(s.W)-1.001), min(max(y, 0), float64(s.H)-1.001)
	x0, y0 := int(px), int(py)
	fx, fy := float32(px-float64(x0)), float32(py-float64(y0))
	i := y0*s.W + x0
	var out rgb
	for c := range 3 {
		top := s.ground[i][c]*(1-fx) + s.ground[i+1][c]*fx
		low := s.ground[i+s.W][c]*(1-fx) + s.ground[i+s.W+1][c]*fx
		out[c] = top*(1-fy) + low*fy
	}
	for k := range s.Colonies {
		s.Colonies[k].over(&out, x, y, days)
	}
	return out
}

// over paints a colony, its edge half a pixel soft and lighter than its middle.
func (c *Colony) over(out *rgb, x, y, days float64) {
	dx, dy := x-c.X, y-c.Y
	d2 := dx*dx + dy*dy
	if most := 1.6 * c.Radius * math.Exp(c.Growth*days/2); d2 > most*most {
		return
	}
	d, r := math.Sqrt(d2), c.reach(math.Atan2(dy, dx), days)
	cover := float32(min(max(r-d+0.5, 0), 1))
	if cover == 0 {
		return
	}
	grain := 0.5 + 0.5*math.Sin(x*2*math.Pi/c.grain+c.grainPhase)*math.Sin(y*2*math.Pi/c.grain+1.7*c.grainPhase)
	shade := float32(0.72 + 0.28*grain + 0.25*max(0, 1-(r-d)/(0.12*r)))
	for i, v := range [3]uint8{c.Colour.R, c.Colour.G, c.Colour.B} {
		out[i] += cover * (shade*float32(v)/255 - out[i])
	}
}

// Shot is how a photograph is taken.
type Shot struct {
	Days     float64          // since the scene's first
	W, H     int              // of the photograph
	Camera   photo.Homography // photograph to scene
	Exposure float64          // 1 leaves the light as it is
	Warmth   float64          // 0; more is redder
	Fish     int
	Noise    float64 // of light from 0 to 1
	Seed     uint64
}

// Take takes a photograph.
func (s *Scene) Take(shot Shot) *image.RGBA {
	rng := rand.New(rand.NewPCG(shot.Seed, s.seed))
	img := image.NewRGBA(image.Rect(0, 0, shot.W, shot.H))
	gain := [3]float64{shot.Exposure * (1 + shot.Warmth), shot.Exposure, shot.Exposure * (1 - shot.Warmth)}
	wave, turn := 2+3*rng.Float64(), 6*rng.Float64()
	fish := s.school(rng, shot)
	for y := range shot.H {
		for x := range shot.W {
			p := shot.Camera.Map(photo.Point{X: float64(x), Y: float64(y)})
			v := s.at(p.X, p.Y, shot.Days)
			light := 1 + 0.06*math.Sin(wave*p.X/float64(s.W)*6+turn)*math.Sin(wave*p.Y/float64(s.H)*5)
			for _, f := range fish {
				f.over(&v, float64(x), float64(y))
			}
			i := img.PixOffset(x, y)
			for c := range 3 {
				lit := float64(v[c])*gain[c]*light + shot.Noise*rng.NormFloat64()
				img.Pix[i+c] = uint8(255*min(max(lit, 0), 1) + 0.5)
			}
			img.Pix[i+3] = 255
		}
	}
	return img
}

// swimmer is a fish in front of the scene, in pixels of the photograph.
type swimmer struct {
	x, y, long, high float64
	colour           rgb
}

func (s *Scene) school(rng *rand.Rand, shot Shot) []swimmer {
	var out []swimmer
	for range shot.Fish {
		size := float64(shot.W) * (0.03 + 0.03*rng.Float64())
		out = append(out, swimmer{x: float64(shot.W) * rng.Float64(), y: float64(shot.H) * (0.1 + 0.6*rng.Float64()), long: size, high: size * 0.38,
			colour: rgb{float32(0.3 + 0.6*rng.Float64()), float32(0.4 + 0.4*rng.Float64()), float32(0.5 + 0.5*rng.Float64())}})
	}
	return out
}

func (f *swimmer) over(v *rgb, x, y float64) {
	dx, dy := (x-f.x)/f.long, (y-f.y)/f.high
	tail := dx < -0.7 && dx > -1.3 && math.Abs(dy) < 0.9*(-0.6-dx)
	if dx*dx+dy*dy < 1 || tail {
		*v = f.colour
	}
}

// Held is a camera held by hand: turned, moved and tilted a little, by so much at most
// (1 is as a person who tries to stand at the same place).
func Held(w, h int, s *Scene, much float64, rng *rand.Rand) photo.Homography {
	u := func(m float64) float64 { return m * much * (2*rng.Float64() - 1) }
	scale := float64(s.W) / float64(w) * 0.84 * (1 + u(0.06))
	a := u(0.05)
	cx, cy := float64(s.W)*(0.5+u(0.04)), float64(s.H)*(0.5+u(0.04))
	toMiddle := photo.Homography{1, 0, -float64(w) / 2, 0, 1, -float64(h) / 2, 0, 0, 1}
	view := photo.Homography{scale * math.Cos(a), -scale * math.Sin(a), cx, scale * math.Sin(a), scale * math.Cos(a), cy, 0, 0, 1}
	tilt := photo.Homography{1, 0, 0, 0, 1, 0, u(0.08) / float64(w), u(0.06) / float64(h), 1}
	mid := tilt.Times(&toMiddle)
	return view.Times(&mid)
}
