package course

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// finish counts the turns, adds what the stop rules ask to be looked at, and says
// the plan in a sentence.
func (p *Plan) finish() {
	p.StopWhen = []string{}
	if p.Refused != "" {
		p.Says = p.Refused + " " + p.Instead
		return
	}
	if p.Action != "dose" {
		p.Substance, p.Unit, p.Amount, p.Most, p.HalfDays = "", "", 0, 0, 0
	}
	p.Turns = int(math.Ceil(p.Days*24/p.EveryHours - 1e-9))
	for _, t := range p.Schedule() {
		v, _ := t.Amount.Float()
		p.Total += v
	}
	p.Total = math.Round(p.Total*1000) / 1000
	p.mindRules()
	p.Cautions = append(p.Cautions, "Water and mains: drip loops, a residual-current device, and hands out of the water while anything is plugged in and wet.")
	p.Warnings = append(p.Warnings, "A missed turn is left out, never doubled.")
	p.Says = fmt.Sprintf("%s every %s hours for %s, %s in all.", prose.Capital(p.What()), units.FormatAmount(p.EveryHours), counted(p.Days, "day", "days"), counted(float64(p.Turns), "time", "times"))
	if p.Halved() {
		p.Says = fmt.Sprintf("%s every %s hours for %s, %s in all: %s %s each on the first %s, then %s %s.", prose.Capital(p.Substance), units.FormatAmount(p.EveryHours),
			counted(p.Days, "day", "days"), counted(float64(p.Turns), "time", "times"), units.FormatAmount(p.Amount/2), p.Unit, counted(p.HalfDays, "day", "days"), units.FormatAmount(p.Amount), p.Unit)
	}
}

func counted(n float64, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return units.FormatAmount(n) + " " + many
}

// Halved says whether the course begins with half doses.
func (p *Plan) Halved() bool { return p.HalfDays > 0 && p.Amount > 0 }

// What is one turn in words.
func (p *Plan) What() string {
	if p.Action == "dose" {
		return fmt.Sprintf("%s %s of %s", units.FormatAmount(p.Amount), p.Unit, p.Substance)
	}
	return p.Chore
}

// mindRules has the signs of the stop rules scored, and their quantities tested.
func (p *Plan) mindRules() {
	var tested []string
	for _, r := range p.rules {
		p.StopWhen = append(p.StopWhen, r.String())
		if r.Quantity != "" {
			if !slices.Contains(tested, string(r.Quantity)) {
				tested = append(tested, string(r.Quantity))
			}
		} else if !slices.ContainsFunc(p.Signs, func(s string) bool { return book.Key(s) == book.Key(r.Sign) }) {
			p.Signs = append(slices.Clone(p.Signs), r.Sign)
		}
	}
	if len(tested) > 0 {
		p.Warnings = append(p.Warnings, fmt.Sprintf("Test %s on the way: a stop rule goes by the readings.", strings.Join(tested, " and ")))
	}
}

// StopSays is the whole stop rule in words: what the keeper watches, then what
// the book does.
func (p *Plan) StopSays() []string {
	var out []string
	if p.Stop != "" {
		out = append(out, strings.TrimSuffix(p.Stop, ".")+".")
	}
	for _, r := range p.rules {
		out = append(out, prose.Capital(r.Says())+".")
	}
	return out
}

// Schedule lists the turns of a plan.
func (p *Plan) Schedule() []Turn {
	b := p.body()
	var out []Turn
	for i := range p.Turns {
		t := Turn{At: standing.TurnAt(p.Start, p.EveryHours, i, p.place), State: ToCome}
		if p.Action == "dose" {
			t.Amount = standing.TurnAmount(b, i)
		}
		out = append(out, t)
	}
	return out
}

// figure is an amount as it is written into the log.
func figure(v float64) book.Number {
	return book.Number(strconv.FormatFloat(math.Round(v*1e4)/1e4, 'f', -1, 64))
}
