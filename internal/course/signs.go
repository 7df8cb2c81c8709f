package course

import (
	"fmt"
	"sort"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
)

// SignChange is a sign's scores before a course, on its way, and in its last days
// or after.
type SignChange struct {
	Sign          string
	Before, After []float64
	During        []float64 // from its start until its last third
	P             float64   // two-sided exact p of so large a difference of ranks
	Says          string
}

// signs compares the scores of the fortnight before a course with those from its
// last third on.
func signs(t *book.TankFacts, l *book.Line, b *book.Course, asOf time.Time, over bool) []SignChange {
	days, _ := b.Days.Float()
	start := standing.CourseStart(l, b)
	late := start.Add(time.Duration(days * 2 / 3 * 24 * float64(time.Hour)))
	var out []SignChange
	for _, sign := range b.Signs {
		c := SignChange{Sign: sign, P: 1}
		for i := range t.Events {
			e := &t.Events[i]
			score, ok := e.Body.(*book.Score)
			if !ok || e.At.After(asOf) || book.Key(score.Sign) != book.Key(sign) {
				continue
			}
			x, ok := score.Value.Float()
			switch {
			case !ok:
			case e.At.Before(start) && e.At.After(start.AddDate(0, 0, -14)):
				c.Before = append(c.Before, x)
			case e.At.After(late):
				c.After = append(c.After, x)
			case !e.At.Before(start):
				c.During = append(c.During, x)
			}
		}
		if over {
			c.tell()
		} else {
			c.tellSoFar()
		}
		out = append(out, c)
	}
	return out
}

// tellSoFar says how a sign stands while the course goes on: nothing is judged yet.
func (c *SignChange) tellSoFar() {
	before := "not scored in the two weeks before"
	if len(c.Before) > 0 {
		before = fmt.Sprintf("%.1f of 4 before (the middle of %s)", median(c.Before), counted(float64(len(c.Before)), "score", "scores"))
	}
	during := append(append([]float64(nil), c.During...), c.After...)
	since := "not scored since it began"
	if n := len(during); n > 0 {
		since = fmt.Sprintf("last scored %.0f, %s since it began", during[n-1], counted(float64(n), "score", "scores"))
	}
	c.Says = fmt.Sprintf("%s: %s; %s.", prose.Capital(c.Sign), before, since)
}

func (c *SignChange) tell() {
	if len(c.Before) < 3 || len(c.After) < 3 {
		c.Says = fmt.Sprintf("%s: too few scores to tell (%d before, %d late in it); three of each are the least.", prose.Capital(c.Sign), len(c.Before), len(c.After))
		return
	}
	c.P = rankP(c.Before, c.After)
	c.Says = fmt.Sprintf("%s: scored %.1f of 4 before, %.1f late in it and after; so large a difference comes by chance alone with p = %.3f. Without another tank left as it was, other causes cannot be told apart.",
		prose.Capital(c.Sign), median(c.Before), median(c.After), c.P)
}

func median(v []float64) float64 {
	v = append([]float64(nil), v...)
	sort.Float64s(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
