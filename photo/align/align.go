package align

import (
	"errors"
	"image"
	"math"
	"math/rand/v2"

	"driftline/photo"
)

// Working sizes: patches are compared in pictures of at most fineSide pixels on the
// longer side, features found in ones of at most coarseSide.
const (
	fineSide   = 1600
	coarseSide = 1000
	features   = 2200
)

// Reference is a picture made ready for others to be laid over.
type Reference struct {
	W, H   int     // of the full picture
	by     float64 // full pixels to one of the fine picture
	coarse float64 // fine pixels to one of the coarse picture
	fine   *photo.Gray
	found  []feature
	spots  []spot
}

// Alignment says how a frame lies over the reference.
type Alignment struct {
	// Aligned is false where it cannot be said; the homography is then the best guess, and
	// not to be used.
	Aligned    bool
	H          photo.Homography // frame to reference, full pixels
	Confidence float64          // 0 to 1
	// Doubt is the standard deviation of where the corners of the frame come to lie, as a
	// share of the width of the reference.
	Doubt   float64
	Agree   float64 // how many patches fit
	Covered float64 // share of the overlap in which patches fit
	Why     string  // why it cannot be said
}

// ErrTooSmall says that a picture has too few pixels to find anything in.
var ErrTooSmall = errors.New("the picture is smaller than 128 pixels on a side; nothing can be laid over it")

// NewReference makes a picture ready.
func NewReference(img image.Image) (*Reference, error) {
	b := img.Bounds()
	if min(b.Dx(), b.Dy()) < 128 {
		return nil, ErrTooSmall
	}
	r := &Reference{W: b.Dx(), H: b.Dy(), by: photo.Smaller(b.Dx(), b.Dy(), fineSide)}
	fine := photo.ToGray(img, r.by)
	var coarse *photo.Gray
	coarse, r.coarse = coarser(fine)
	r.found = detect(octaves(coarse), coarse.W, coarse.H, features)
	r.fine = blur(fine, 0.8)
	r.spots = spots(r.fine)
	return r, nil
}

func coarser(fine *photo.Gray) (*photo.Gray, float64) {
	by := photo.Smaller(fine.W, fine.H, coarseSide)
	return photo.Resize(fine, by), by
}

// Align lays a frame over the reference.
func (r *Reference) Align(img image.Image) (Alignment, error) {
	b := img.Bounds()
	if min(b.Dx(), b.Dy()) < 128 {
		return Alignment{}, ErrTooSmall
	}
	by := photo.Smaller(b.Dx(), b.Dy(), fineSide)
	fine := photo.ToGray(img, by)
	coarse, coarseBy := coarser(fine)
	found := detect(octaves(coarse), coarse.W, coarse.H, features)
	h, ms := r.coarsely(found, coarse)
	if ms == nil {
		return Alignment{H: photo.Same, Why: "too little of it looks like the reference"}, nil
	}
	h = h.Scaled(coarseBy, r.coarse)
	first := h
	smooth := blur(fine, 0.8)
	h, f, patches := r.finely(h, smooth)
	a := r.judge(&h, &first, f, patches, smooth)
	a.H = h.Scaled(by, r.by)
	return a, nil
}

// leastScore is the agreement, in balanced matches, that a guess must reach.
const leastScore = 4

// coarsely lays features over each other: near ones first, any if that fails.
func (r *Reference) coarsely(found []feature, coarse *photo.Gray) (photo.Homography, []match) {
	rng := rand.New(rand.NewPCG(11, 8))
	side := float64(max(coarse.W, coarse.H))
	for _, g := range []gate{{0.3 * side, 1.6, 0.45}, {2 * side, 4, 4}} {
		ms := matches(found, r.found, g)
		if len(ms) < 12 {
			continue
		}
		balance(ms, coarse.W, coarse.H)
		h, score := sampled(ms, 6, rng)
		if score < leastScore {
			continue
		}
		for _, scale := range []float64{4, 3, 2, 1.5} {
			if next, _, ok := refit(&h, ms, scale, 4); ok {
				h = next
			}
		}
		return h, ms
	}
	return photo.Same, nil
}

// finely corrects a homography by patches.
func (r *Reference) finely(h photo.Homography, frame *photo.Gray) (photo.Homography, *fitted, []match) {
	var f *fitted
	var ms []match
	for round := range 3 {
		ms = displaced(r.spots, frame, &h)
		scales := []float64{4, 2.5, 1.6, 1.2}
		if round > 0 {
			scales = []float64{2, 1.4, 1}
		}
		for _, scale := range scales {
			next, g, ok := refit(&h, ms, scale, 4)
			if !ok {
				return h, nil, ms
			}
			h, f = next, g
		}
	}
	return h, f, ms
}

// What an alignment must be to be reported: judgement, tried on synthetic series.
const (
	mostDoubtPx = 1.2  // of the corners at fineSide wide
	leastAgree  = 40.0 // patches
	leastCover  = 0.3  // of the cells of the overlap
	mostDrift   = 12.0 // px between features and patches at the corners
	correlated  = 3.0  // neighbouring patches err alike: factor on the standard deviation
)

// judge says how far an alignment is to be trusted.
func (r *Reference) judge(h, first *photo.Homography, f *fitted, ms []match, frame *photo.Gray) Alignment {
	if f == nil {
		return Alignment{Why: "too few parts of it fit the reference"}
	}
	a := Alignment{Agree: f.counts}
	drift := 0.0
	for _, p := range corners(frame) {
		a.Doubt += correlated * f.doubtAt(h, p) / 4
		q, was := h.Map(p), first.Map(p)
		drift = math.Max(drift, math.Hypot(q.X-was.X, q.Y-was.Y))
	}
	a.Covered = r.covered(h, ms, frame)
	doubt := a.Doubt
	a.Doubt /= float64(r.fine.W)
	a.Confidence = math.Exp(-doubt/mostDoubtPx*0.7) * math.Min(1, f.counts/(2*leastAgree)) * math.Min(1, a.Covered/(1.5*leastCover))
	switch {
	case f.counts < leastAgree:
		a.Why = "too few parts of it fit the reference"
	case a.Covered < leastCover:
		a.Why = "only a small part of it fits the reference"
	case doubt > mostDoubtPx:
		a.Why = "the parts that fit leave the corners in doubt"
	case drift > mostDrift:
		a.Why = "large and small features disagree"
	default:
		a.Aligned = true
	}
	return a
}

func corners(g *photo.Gray) [4]photo.Point {
	w, h := float64(g.W-1), float64(g.H-1)
	return [4]photo.Point{{X: 0, Y: 0}, {X: w, Y: 0}, {X: w, Y: h}, {X: 0, Y: h}}
}

// covered is the share of the cells of the overlap in which some patch fits.
func (r *Reference) covered(h *photo.Homography, ms []match, frame *photo.Gray) float64 {
	const across, down = 10, 8
	var fits [across * down]bool
	cell := func(p photo.Point) int {
		return min(int(p.Y*down/float64(r.fine.H)), down-1)*across + min(int(p.X*across/float64(r.fine.W)), across-1)
	}
	for i := range ms {
		q := h.Map(ms[i].from)
		if math.Hypot(q.X-ms[i].to.X, q.Y-ms[i].to.Y) < 1.5 {
			fits[cell(ms[i].to)] = true
		}
	}
	inv, err := h.Inverse()
	if err != nil {
		return 0
	}
	in, good := 0, 0
	for y := range down {
		for x := range across {
			p := inv.Map(photo.Point{X: (float64(x) + 0.5) * float64(r.fine.W) / across, Y: (float64(y) + 0.5) * float64(r.fine.H) / down})
			if p.X < 0 || p.Y < 0 || p.X > float64(frame.W) || p.Y > float64(frame.H) {
				continue
			}
			in++
			if fits[y*across+x] {
				good++
			}
		}
	}
	if in == 0 {
		return 0
	}
	return float64(good) / float64(in)
}
