package waterbench

import (
	"fmt"
	"math"

	"driftline/seawater"
)

// shares is how a water's pH comes to lie off that of usual water in open air:
// the part of carbon dioxide and the part of alkalinity. Their sum is the whole.
type shares struct{ carbon, alkalinity, whole figure }

// sharesOf takes apart a solved water: carbon is its pH less what it would have in
// balance with the air, alkalinity the latter less that of the usual alkalinity.
func sharesOf(pH figure, rest, usual state) shares {
	var s shares
	s.carbon = figure{pH.v - rest.c.PHTotal, math.Hypot(pH.sd, rest.sd.PHTotal)}
	// The doubt of the air is in both rest and usual and falls out of their difference.
	s.alkalinity = figure{rest.c.PHTotal - usual.c.PHTotal, math.Sqrt(math.Max(0, rest.sd.PHTotal*rest.sd.PHTotal-usual.sd.PHTotal*usual.sd.PHTotal))}
	s.whole = figure{pH.v - usual.c.PHTotal, pH.sd}
	return s
}

// airFirst is the chance that carbon dioxide moves pH more than alkalinity does,
// the way pH is off.
func (s *shares) airFirst() float64 {
	d := s.carbon.v - s.alkalinity.v
	if s.whole.v < 0 {
		d = -d
	}
	return chanceAbove(figure{d, math.Hypot(s.carbon.sd, s.alkalinity.sd)}, 0)
}

// usual is water of the usual alkalinity in balance with open air, whatever air
// this water is under.
func (w *water) usual() (state, error) {
	ta, err := w.usualTA()
	if err != nil {
		return state{}, err
	}
	a := openAir(&w.sea)
	c, sd, err := w.sea.SolveWithDoubts(seawater.TA(ta), seawater.PCO2(a.v), seawater.Doubts{B: a.sd})
	return state{c, sd}, err
}

// whyPH says in one sentence whether carbon dioxide or alkalinity sets pH off.
func (w *water) whyPH(c, sd seawater.Carbonate, rest state) string {
	usual, err := w.usual()
	if err != nil {
		return ""
	}
	if w.airUA > 0 { // the room's air is part of what is asked after
		open := *w
		open.airUA = 0
		if rest, err = open.atRest(w.ta); err != nil {
			return ""
		}
	}
	s := sharesOf(w.ph, rest, usual)
	return s.sentence(usual.c.PHNBS)
}

func (s *shares) sentence(usualNBS float64) string {
	off := math.Abs(s.whole.v)
	if off <= s.whole.sd {
		return fmt.Sprintf("About what water of 8 dKH has in open air (%.2f): carbon dioxide moves it by %+.2f and alkalinity by %+.2f.",
			usualNBS, s.carbon.v, s.alkalinity.v)
	}
	word, much, little := "low", "too much carbon dioxide", "low alkalinity"
	if s.whole.v > 0 {
		word, much, little = "high", "too little carbon dioxide", "high alkalinity"
	}
	p := s.airFirst()
	first, other, at, by := much, little, s.carbon, s.alkalinity
	if p < 0.5 {
		first, other, at, by, p = little, much, s.alkalinity, s.carbon, 1-p
	}
	return fmt.Sprintf("%.2f %ser than water of 8 dKH has in open air (%.2f), %s because of %s, which moves it by %+.2f, rather than %s (%+.2f).",
		off, word, usualNBS, chance(p), first, at.v, other, by.v)
}
