package feeding

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/book"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/sun"
)

// Plain is a figure at a moment.
type Plain struct {
	At    time.Time
	Value float64
}

// Sign is what was judged by eye, oldest first.
type Sign struct {
	Name   string
	Scores []Plain
}

// Signs are what is seen and counted, on one axis of time.
type Signs struct {
	From, To  time.Time
	Food      []Plain // nitrogen a day, g, by weeks
	Nitrate   standing.Quantity
	Phosphate standing.Quantity
	Cleanings []Plain // days since the cleaning before
	Signs     []Sign
	Sun       []Plain // above the air, MJ a square metre and day; none without a latitude
}

// SignsOf gathers them over a span.
func SignsOf(desk *standing.Desk, f *book.Facts, tank string, from, to time.Time) (Signs, error) {
	t, ok := f.Tank(tank)
	if !ok {
		return Signs{}, fmt.Errorf("tank %q is not in the book", tank)
	}
	s := Signs{From: from, To: to, Food: weekly(f, t, from, to)}
	var err error
	if s.Nitrate, err = desk.Quantity(f, tank, "nitrate", to, 0); err != nil {
		return s, err
	}
	if s.Phosphate, err = desk.Quantity(f, tank, "phosphate", to, 0); err != nil {
		return s, err
	}
	s.Cleanings = cleanings(t, from, to)
	s.Signs = scores(t, from, to)
	if latitude, said := t.Tank.Latitude.Float(); said {
		s.Sun = season(latitude, from, to)
	}
	return s, nil
}

// weekly is the nitrogen fed a day, by weeks that end at the end of the span.
func weekly(f *book.Facts, t *book.TankFacts, from, to time.Time) []Plain {
	var out []Plain
	for end := to; end.After(from); end = end.AddDate(0, 0, -7) {
		start := end.AddDate(0, 0, -7)
		if start.Before(from) {
			break
		}
		sum := 0.0
		for _, e := range Meals(f, t, start, end) {
			sum += e.N.Mean
		}
		out = append(out, Plain{start.Add(84 * time.Hour), sum / 7})
	}
	slices.Reverse(out)
	return out
}

// cleanings are the days from one cleaning of the glass to the next.
func cleanings(t *book.TankFacts, from, to time.Time) []Plain {
	var out []Plain
	var last time.Time
	for i := range t.Events {
		l := &t.Events[i]
		b, ok := l.Body.(*book.Chore)
		if !ok || l.At.After(to) || book.Key(b.Name) != "glass cleaned" {
			continue
		}
		if !last.IsZero() && !l.At.Before(from) {
			out = append(out, Plain{l.At, l.At.Sub(last).Hours() / 24})
		}
		last = l.At
	}
	return out
}

// scores are the signs judged within a span, those judged most first.
func scores(t *book.TankFacts, from, to time.Time) []Sign {
	var out []Sign
	for i := range t.Events {
		l := &t.Events[i]
		b, ok := l.Body.(*book.Score)
		if !ok || l.At.Before(from) || l.At.After(to) {
			continue
		}
		v, said := b.Value.Float()
		if !said {
			continue
		}
		at := slices.IndexFunc(out, func(s Sign) bool { return book.Key(s.Name) == book.Key(b.Sign) })
		if at < 0 {
			at, out = len(out), append(out, Sign{Name: b.Sign})
		}
		out[at].Scores = append(out[at].Scores, Plain{l.At, v})
	}
	slices.SortStableFunc(out, func(a, b Sign) int { return cmp.Compare(len(b.Scores), len(a.Scores)) })
	return out
}

func season(latitude float64, from, to time.Time) []Plain {
	var out []Plain
	for at := from; !at.After(to); at = at.AddDate(0, 0, 7) {
		if v, err := sun.Extraterrestrial(latitude, at.YearDay()); err == nil {
			out = append(out, Plain{at, v})
		}
	}
	return out
}

// redfield is the mean ratio of nitrogen to phosphorus atoms in plankton, and that of
// benthic plants (Redfield, restated in Geider & La Roche 2002, Eur. J. Phycol. 37:1;
// Atkinson & Smith 1983, Limnol. Oceanogr. 28:568, as quoted).
const (
	redfield = 16.0
	benthic  = 30.0
)

// Balance tells in plain words how the two nutrients stand to each other. The levels
// are in mg/L of nitrate and of phosphate.
func Balance(nitrate, phosphate standing.Estimate) (ratio float64, says string) {
	const least = 1e-9
	n, p := nitrate.Mean*food.NitrogenInNitrate/14.007, phosphate.Mean*food.PhosphorusInPhosphate/30.974
	if nitrate.Mean <= nitrate.SD && phosphate.Mean <= phosphate.SD {
		return 0, "Neither nitrate nor phosphate can be told from nothing. That both read zero is what keepers report with pale, shrinking corals (common practice): feed more before anything else."
	}
	if phosphate.Mean <= phosphate.SD {
		return 0, "Phosphate cannot be told from nothing while nitrate is there. Corals that have nitrogen and lack phosphorus bleach and lose mass (Rosset and others 2017; Wiedenmann and others 2013); what keepers do is to feed more, or richer in phosphorus."
	}
	if nitrate.Mean <= nitrate.SD {
		return 0, "Nitrate cannot be told from nothing while phosphate is there. Corals stand that better than the other way round (Rosset and others 2017), but keepers report cyanobacteria with it (common practice)."
	}
	ratio = n / math.Max(p, least)
	head := fmt.Sprintf("%.0f atoms of nitrogen for each of phosphorus; plankton holds %g (Redfield), plants of the sea floor about %g (Atkinson & Smith 1983).", ratio, redfield, benthic)
	switch {
	case ratio > 10*redfield:
		return ratio, head + " Beside so much nitrogen phosphorus is scarce. Too little of it with nitrogen there harms corals (Rosset and others 2017); at what ratio is not known, so watch the corals before the figure."
	case ratio < redfield/3:
		return ratio, head + " Beside so much phosphorus nitrogen is scarce. Corals stand that better than the other way round (Rosset and others 2017); keepers report cyanobacteria with it (common practice)."
	}
	return ratio, head + " Neither is scarce beside the other. No published ratio is right for a tank; both levels within their bands is what keepers go by (common practice)."
}
