package effect

import (
	"fmt"
	"math"

	"driftline/stats"
)

// nothing tells whether one of the cells counted nothing at all, for which a log
// link has no mean.
func nothing(a Ask, entries []entry) bool {
	sum, seen := [4]float64{}, [4]bool{}
	for _, e := range entries {
		cell := min(int(a.state(e.at)), 1)
		if !e.treated {
			cell += 2
		}
		sum[cell] += e.value
		seen[cell] = true
	}
	for i := range sum {
		if seen[i] && sum[i] == 0 {
			return true
		}
	}
	return false
}

// rare answers where a side counted nothing: all figures get the half that a
// count of none leaves open (Haldane 1956, Ann. Hum. Genet. 20:309), and the
// model is asked again.
func (a Ask) rare(entries []entry, settle []figure, compared bool) (Result, error) {
	per := map[int]float64{}
	cell := func(e entry) int {
		c := min(int(a.state(e.at)), 1)
		if !e.treated {
			c += 2
		}
		return c
	}
	for _, e := range entries {
		per[cell(e)]++
	}
	lifted := make([]entry, len(entries))
	for i, e := range entries {
		e.value += 0.5 / per[cell(e)]
		lifted[i] = e
	}
	m, err := a.iterate(lifted, columns{}, compared)
	if err != nil {
		return Result{}, err
	}
	r, err := a.ratioResult(lifted, settle, m, compared)
	if err != nil {
		return r, err
	}
	r.note("something counted", false, "a side counted nothing: the ratio leans on a half added to each side, and its far end is open")
	return r, nil
}

// ratioChecks looks at what a ratio assumes.
func (a Ask) ratioChecks(r *Result, entries []entry, m stats.Design, compared bool) {
	if !compared {
		r.note("another tank", false, "nothing was left as it was: whatever else changed at that time looks the same as the change")
	}
	open := 0
	for _, e := range entries {
		if e.open {
			open++
		}
	}
	if open > 0 {
		r.note("open interval", true, fmt.Sprintf("%s not over yet, counted as at least so long", plural(open, "interval")))
	}
	if r.Verdict != Helped && r.Verdict != Hurt {
		return
	}
	k := model{design: m}
	for i, e := range entries {
		if len(entries)-1 <= len(m.X[0]) {
			break
		}
		s, err := stats.AverageOver(k.leaving(i), changeColumn)
		if err == nil && s.P(0) < carried && (s.Mean() > 0) == (math.Log(r.Effect) > 0) {
			continue
		}
		r.carriedBy(e.at)
		return
	}
	r.note("one figure", true, "no single figure carries the answer")
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
