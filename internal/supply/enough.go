package supply

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/prose"
)

// Take is one amount that a plan not yet accepted would take. A zero At is now.
type Take struct {
	Substance string
	Amount    float64
	Unit      string
	At        time.Time
}

// Need is what a plan takes of one thing, held against the shelf.
type Need struct {
	Substance string     `json:"substance"`
	Unit      string     `json:"unit"` // g or mL
	Uses      float64    `json:"uses"`
	Known     bool       `json:"known"`            // it is written on the shelf
	Left      float64    `json:"left"`             // now
	Others    float64    `json:"others"`           // expected to go elsewhere until the plan ends
	Short     float64    `json:"short"`            // 0 when there is enough
	Before    *time.Time `json:"before,omitempty"` // the day it must be bought by; nil when short at once
	Says      string     `json:"says"`
}

// Answer is what a plan takes, held against the shelf.
type Answer struct {
	Needs []Need `json:"needs"`
	Says  string `json:"says"`
}

// Enough holds what a plan would take against the shelf, with what else is
// expected to go until its end. What the plans named by their lines take is left out: those it
// comes in the place of.
func (s *Shelf) Enough(takes []Take, instead ...string) Answer {
	w := s.work
	by := map[*jar][]step{}
	var order []*jar
	for _, t := range takes {
		grams, mL, ok := measured(t.Amount, t.Unit)
		if !ok {
			continue
		}
		day := -1 // now
		if !t.At.IsZero() {
			day = min(max(w.dayOf(t.At), 0), far)
		}
		for _, x := range w.takes(t.Substance, grams, mL, w.asOf) {
			if by[x.jar] == nil {
				order = append(order, x.jar)
			}
			by[x.jar] = append(by[x.jar], step{day, x.amount})
		}
	}
	a := Answer{Needs: []Need{}}
	var says []string
	for _, j := range order {
		n := w.need(j, by[j], instead)
		a.Needs = append(a.Needs, n)
		says = append(says, strings.TrimSuffix(n.Says, "."))
	}
	if len(says) > 0 {
		a.Says = prose.Capital(strings.Join(says, "; ")) + "."
	}
	if len(order) == 1 && len(takes) > 0 && w.key(takes[0].Substance) == w.key(order[0].name) { // the plan has said what it is of
		a.Says = strings.Replace(a.Says, " of "+order[0].name, "", 1)
	}
	return a
}

// need goes through the days of a plan.
func (w *worker) need(j *jar, steps []step, instead []string) Need {
	n := Need{Substance: j.name, Unit: j.unit, Known: !j.absent}
	last := -1
	for _, s := range steps {
		n.Uses += s.amount
		last = max(last, s.day)
	}
	uses := words(n.Uses, j.unit, j.shown)
	if j.absent {
		n.Says = fmt.Sprintf("uses %s of %s, of which nothing is written on the shelf.", uses, j.name)
		return n
	}
	n.Left = j.count + j.added - j.used
	c := w.curve(j, instead...)
	for day := -1; day <= last; day++ {
		taken := 0.0
		for _, s := range steps {
			if s.day <= day {
				taken += s.amount
			}
		}
		others := 0.0
		if day >= 0 {
			others = c.mean[day]
		}
		if short := taken + others - n.Left; taken > 0 && short > 1e-9*n.Uses && n.Short == 0 {
			n.Short = short
			if day > 0 {
				at := w.dateOf(day)
				n.Before = &at
			}
		}
		n.Others = others
		if n.Short > 0 {
			n.Short = max(n.Short, taken+others-n.Left)
		}
	}
	n.say(w, j, uses)
	return n
}

func (n *Need) say(w *worker, j *jar, uses string) {
	left := words(max(n.Left, 0), j.unit, j.shown) + " stands on the shelf"
	if n.Left <= 0 {
		left = "none is left on the shelf by the log"
	}
	if n.Others > 0.02*n.Uses {
		left += fmt.Sprintf(", of which %s goes elsewhere by then", words(n.Others, j.unit, j.shown))
	}
	n.Says = fmt.Sprintf("uses %s of %s; %s, ", uses, j.name, left)
	switch {
	case n.Short == 0:
		n.Says += "enough."
	case n.Before == nil:
		n.Says += fmt.Sprintf("%s short: buy it first.", words(n.Short, j.unit, j.shown))
	default:
		n.Says += fmt.Sprintf("%s short; buy before %s.", words(n.Short, j.unit, j.shown), w.weekday(*n.Before))
	}
}
