package drift

import (
	"fmt"
	"math"
	"slices"

	"driftline/statespace"
)

// Account says where the change of the level between two moments came from, at
// the most likely spreads and given every reading up to as-of. A span that ends at
// as-of ends with the level of Now. The span is cut
// to the time between the first reading and as-of; it fails when nothing is left.
func (s *State) Account(from, to float64) (Account, error) {
	e := s.e
	from, to = math.Max(from, e.start), math.Min(to, e.asOf)
	if !(from < to) {
		return Account{}, fmt.Errorf("span of %.3g days: expected a span that begins before it ends, after the first reading and before now", to-from)
	}
	w := e.newWalker(s.mode, true)
	w.from = from
	tape := borrowTape(w.f)
	defer tapes.Put(tape)
	w.to = tape
	marks, sums := e.accountMarks(from, to)
	w.walk(newTimeline(e.c, e.start, e.asOf, append(s.jump.marks(), marks...)), s.sites, w.marking(tape, s.jump))
	beliefs := tape.Smooth()
	a := Account{
		From: levelOf(beliefs[0]), To: levelOf(beliefs[len(beliefs)-1]),
		Inputs: e.sumInputs(from, to), Feeds: e.sumFeeds(from, to), Changes: sums,
	}
	e.sumChanges(beliefs, from, to, a.Changes)
	if to == e.asOf {
		a.To, _ = s.Now() // over all the spreads, as everywhere else
	}
	taken := beliefs[len(beliefs)-1]
	a.Demand, a.Food = e.split(taken, from, to)
	a.Unexplained = e.rest(a)
	return a, nil
}

func levelOf(f *statespace.Filter) Estimate {
	return Estimate{f.X[stateLevel], math.Sqrt(math.Max(f.Var(stateLevel), 0))}
}

// accountMarks stops at both ends and on either side of each water change.
func (e *engine) accountMarks(from, to float64) ([]node, []Sum) {
	marks := []node{{t: from, kind: nodeMarkBefore}}
	var sums []Sum
	for _, c := range e.c.Changes {
		if c.T < from || c.T > to {
			continue
		}
		if c.T > from {
			marks = append(marks, node{t: c.T, kind: nodeMarkBefore})
		}
		marks = append(marks, node{t: c.T, kind: nodeMarkAfter})
		if !slices.ContainsFunc(sums, func(s Sum) bool { return s.Source == c.Source }) {
			sums = append(sums, Sum{Source: c.Source})
		}
	}
	return append(marks, node{t: to, kind: nodeMarkAfter}), sums
}

// sumChanges reads what each water change did from the beliefs on either side.
// Changes at one moment share one step; it is split by their fractions.
func (e *engine) sumChanges(beliefs []*statespace.Filter, from, to float64, sums []Sum) {
	i := 0
	var level float64
	standing := make([]float64, len(sums)) // doubt of the mixes, the same in every change
	for k, c := range e.c.Changes {
		if c.T < from || c.T > to {
			continue
		}
		if k == 0 || e.c.Changes[k-1].T != c.T || i == 0 {
			if c.T > from {
				i++
			}
			level = beliefs[i].X[stateLevel] + e.addedAt(c.T)
		}
		i++
		next := (1-c.Fraction)*level + c.Fraction*(c.Value+e.mixError(beliefs[i], c.Mix))
		for j := range sums {
			if sums[j].Source == c.Source {
				sums[j].Count++
				sums[j].Change.Mean += next - level
				sums[j].Change.SD += sq(c.Fraction * c.SD)
				standing[j] += c.Fraction * e.mixDoubt(beliefs[i], c.Mix)
			}
		}
		level = next
	}
	for j := range sums {
		sums[j].Change.SD = math.Sqrt(sums[j].Change.SD + sq(standing[j]))
	}
}

// addedAt is what inputs at exactly t, which come ahead of a change there, added.
func (e *engine) addedAt(t float64) float64 {
	sum := 0.0
	for _, in := range e.c.Inputs {
		if in.T == t {
			sum += in.Delta
		}
	}
	return sum
}

func (e *engine) mixError(f *statespace.Filter, mix int) float64 {
	if mix < 0 || e.c.Mixes[mix] <= 0 {
		return 0
	}
	l := newLayout(e.c, true)
	return f.X[l.mixes[mix]]
}

// mixDoubt is what is left of the doubt of a mix's standing error.
func (e *engine) mixDoubt(f *statespace.Filter, mix int) float64 {
	if mix < 0 || e.c.Mixes[mix] <= 0 {
		return 0
	}
	return math.Sqrt(max(f.Var(newLayout(e.c, true).mixes[mix]), 0))
}

func (e *engine) sumInputs(from, to float64) []Sum {
	var out []Sum
	for _, in := range e.c.Inputs {
		if in.T < from || in.T > to {
			continue
		}
		s := sumFor(&out, in.Source)
		s.Count++
		s.Change.Mean += in.Delta
		s.Change.SD = math.Hypot(s.Change.SD, in.SD)
	}
	return out
}

func (e *engine) sumFeeds(from, to float64) []Sum {
	var out []Sum
	for _, f := range e.c.Feeds {
		a, b := math.Max(f.From, from), math.Min(f.To, to)
		if b <= a {
			continue
		}
		s := sumFor(&out, f.Source)
		s.Count++
		s.Change.Mean += f.Rate * (b - a)
	}
	return out
}

func sumFor(sums *[]Sum, source int) *Sum {
	for i := range *sums {
		if (*sums)[i].Source == source {
			return &(*sums)[i]
		}
	}
	*sums = append(*sums, Sum{Source: source})
	return &(*sums)[len(*sums)-1]
}

// rest is what is left of the change of the level, so that all adds up exactly.
func (e *engine) rest(a Account) Estimate {
	left := a.To.Mean - a.From.Mean - a.Demand.Mean
	variance := 0.0
	for _, list := range [][]Sum{a.Inputs, a.Changes, a.Feeds} {
		for _, s := range list {
			left -= s.Change.Mean
			variance += sq(s.Change.SD)
		}
	}
	if a.Food != nil {
		left -= a.Food.Mean
	}
	return Estimate{left, math.Sqrt(variance + sq(a.Demand.SD))}
}
