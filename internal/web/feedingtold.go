package web

import (
	"fmt"
	"math"
	"net/url"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/feeding"
	"driftline/internal/standing"
	"driftline/internal/whatif"
	"driftline/units"
)

// budgetWords tells a span's budget as a picture and a table.
func budgetWords(b feeding.Budget, t *book.TankFacts, days int, err error) budgetTold {
	v := budgetTold{Span: spanWordsOf(days)}
	if err != nil {
		v.Problem = sentence(err.Error())
		return v
	}
	v.Nutrients = []flowTold{flowWords("nitrogen", b, float64(days), func(f feeding.Flow) feeding.Mass { return f.N }, func(e feeding.Eaten) feeding.Mass { return e.N }),
		flowWords("phosphorus", b, float64(days), func(f feeding.Flow) feeding.Mass { return f.P }, func(e feeding.Eaten) feeding.Mass { return e.P })}
	v.Alk = fmt.Sprintf("Nitrate made in the tank, less what was taken up or denitrified there, did %s ± %s dKH to alkalinity in that time: one equivalent is taken for each mole made from food, and returned for each mole taken up.",
		plusSign(b.Alkalinity.Mean, 2), units.Number(b.Alkalinity.SD, 2))
	v.NotAll = b.Notes
	v.Grown = !b.Growing
	v.Growing = "The fish are taken for grown ones that keep 15 (5 to 25) % of the nitrogen eaten."
	if b.Growing {
		v.Growing = "The fish are taken for growing ones that keep 27 (20 to 35) % of the nitrogen eaten."
	}
	return v
}

func plusSign(v float64, decimals int) string {
	if v > 0 {
		return "+" + units.Number(v, decimals)
	}
	return units.Number(v, decimals)
}

// flowWords is one element's picture and table, a day.
func flowWords(name string, b feeding.Budget, days float64, of func(feeding.Flow) feeding.Mass, eaten func(feeding.Eaten) feeding.Mass) flowTold {
	pic := chart.Flows{Name: name, Unit: "g a day"}
	out := flowTold{Name: name}
	words := func(m feeding.Mass) string { return milligrams(m, days) }
	row := func(name string, m feeding.Mass) {
		out.Rows = append(out.Rows, flowRow{name, words(m), units.Number(1000*m.Mean/days/b.Volume, levelDecimals(1000*m.Mean/days/b.Volume)) + " mg/L"})
	}
	for _, e := range b.ByFood {
		if m := eaten(e); m.Mean > 0 {
			pic.In = append(pic.In, chart.Stream{Name: e.Food, Amount: m.Mean, Words: words(m)})
			row("in: "+e.Food, m)
		}
	}
	for _, f := range b.Other {
		if of(f).Mean != 0 {
			pic.In = append(pic.In, chart.Stream{Name: f.Name, Amount: of(f).Mean, Words: words(of(f))})
			row("in: "+f.Name, of(f))
		}
	}
	for _, f := range b.Out {
		if of(f).Mean != 0 {
			pic.Out = append(pic.Out, chart.Stream{Name: f.Name, Amount: of(f).Mean, Words: words(of(f))})
		}
		row("out: "+f.Name, of(f))
	}
	stored := chart.Stream{Name: b.Stored.Name, Amount: of(b.Stored).Mean, Words: words(of(b.Stored))}
	if stored.Amount < 0 { // drawn as coming in
		m := of(b.Stored)
		stored.Name, stored.Words = "less in the water", words(feeding.Mass{Mean: -m.Mean, SD: m.SD})
	}
	pic.Out = append(pic.Out, stored,
		chart.Stream{Name: b.Unexplained.Name, Amount: of(b.Unexplained).Mean, Words: words(of(b.Unexplained)), Open: true})
	row(b.Stored.Name, of(b.Stored))
	row("not explained: denitrification, rock, and all errors", of(b.Unexplained))
	row("in, all", of(b.In))
	for _, f := range b.Fates[1:] {
		row("of the food: "+f.Name, of(f))
	}
	out.Picture = chart.FlowsFigure(pic, "flows-"+name)
	return out
}

// milligrams writes a span's mass as mg a day with its doubt.
func milligrams(m feeding.Mass, days float64) string {
	mean, sd := 1000*m.Mean/days, 1000*m.SD/days
	d := 0
	if sd > 0 {
		d = min(max(-int(math.Floor(math.Log10(sd))), 0), 2)
	}
	return units.Number(mean, d) + " ± " + units.Number(sd, d) + " mg/day"
}

func levelDecimals(v float64) int {
	if v = math.Abs(v); v >= 1 || v == 0 {
		return 2
	}
	return min(max(1-int(math.Floor(math.Log10(v))), 2), 4)
}

// peakOfDay draws how what a day's meals leave dissolved comes over the day.
func (s *Server) peakOfDay(f *book.Facts, t *book.TankFacts, v *feedingView) {
	temp := 25.5
	if l, ok := s.Desk.Level(f, t.Tank.Name, units.Temperature, f.AsOf); ok {
		temp = l.Mean
	}
	rate, err := feeding.EvacuationRate(math.Min(math.Max(temp, 10), 31), 0.05)
	if err != nil {
		return
	}
	now := feeding.Pattern(f, t, f.AsOf)
	day := time.Date(f.AsOf.Year(), f.AsOf.Month(), f.AsOf.Day(), 0, 0, 0, 0, t.Location)
	p := chart.Strips{Name: "what fish excrete over the day", Zone: t.Location, From: day, To: day.Add(24 * time.Hour)}
	for _, plan := range []struct {
		name  string
		meals []feeding.Meal
	}{{"as fed of late", now}, {"one meal at 18:00", feeding.Spread(1, 18, 18)}, {"seven meals from 8:00 to 20:00", feeding.Spread(7, 8, 20)}} {
		if len(plan.meals) == 0 {
			continue
		}
		strip := chart.Strip{Name: plan.name, Unit: "% of the day's, an hour", Ceiling: 40}
		for i, x := range feeding.Excretion(plan.meals, rate, 96) {
			strip.Steps = append(strip.Steps, chart.Plain{At: day.Add(time.Duration(i) * 15 * time.Minute), Value: 100 * x})
		}
		p.Rows = append(p.Rows, strip)
	}
	v.Peak = chart.StripsFigure(p, "peak")
	v.PeakSays = fmt.Sprintf("At %s °C a stomach is half empty in %s hours (He & Wurtsbaugh 1993, from 22 species of fish eating prey). The worst hour is %s times the day's average with one meal and %s times with seven",
		units.Number(temp, 1), units.Number(math.Ln2/rate, 1), units.Number(feeding.PeakOverMean(feeding.Spread(1, 18, 18), rate), 1), units.Number(feeding.PeakOverMean(feeding.Spread(7, 8, 20), rate), 1))
	if len(now) > 0 {
		v.PeakSays += "; as fed of late " + units.Number(feeding.PeakOverMean(now, rate), 1) + " times"
	}
	v.PeakSays += "."
}

// signsOf draws what is seen beside what is fed.
func (s *Server) signsOf(f *book.Facts, t *book.TankFacts, v *feedingView) {
	from := f.AsOf.AddDate(0, -9, 0)
	g, err := feeding.SignsOf(s.Desk, f, t.Tank.Name, from, f.AsOf)
	if err != nil {
		return
	}
	p := chart.Strips{Name: "food, nutrients and signs", Zone: t.Location, From: from, To: f.AsOf}
	p.Rows = append(p.Rows, chart.Strip{Name: "nitrogen fed, by weeks", Unit: "mg a day", Steps: scaledPlain(g.Food, 1000)})
	for _, q := range []standing.Quantity{g.Nitrate, g.Phosphate} {
		if len(q.History) > 0 {
			p.Rows = append(p.Rows, nutrientStrip(f, q))
		}
	}
	if len(g.Cleanings) > 0 {
		p.Rows = append(p.Rows, chart.Strip{Name: "days between glass cleanings", Dots: scaledPlain(g.Cleanings, 1)})
	}
	for i, sign := range g.Signs {
		if i == 4 {
			break
		}
		p.Rows = append(p.Rows, chart.Strip{Name: sign.Name + ", by eye", Dots: scaledPlain(sign.Scores, 1), Ceiling: 4})
	}
	if len(g.Sun) > 0 {
		p.Rows = append(p.Rows, chart.Strip{Name: "the season's sun above the air", Unit: "MJ/m² a day", Steps: scaledPlain(g.Sun, 1)})
	} else {
		v.SignsSays = "With the tank's latitude declared the season's sun would stand here too."
	}
	v.Signs = chart.StripsFigure(p, "signs")
	nitrate, ok := s.Desk.Level(f, t.Tank.Name, units.Nitrate, f.AsOf)
	phosphate, also := s.Desk.Level(f, t.Tank.Name, units.Phosphate, f.AsOf)
	if ok && also {
		_, v.Balance = feeding.Balance(nitrate, phosphate)
	}
}

func scaledPlain(all []feeding.Plain, by float64) []chart.Plain {
	out := make([]chart.Plain, len(all))
	for i, p := range all {
		out[i] = chart.Plain{At: p.At, Value: by * p.Value}
	}
	return out
}

func nutrientStrip(f *book.Facts, q standing.Quantity) chart.Strip {
	to := conversion{units.Quantity(q.Name), q.Unit, or(shownUnit(f, q.Name), q.Unit), q.Level.Mean}
	strip := chart.Strip{Name: q.Name, Unit: to.to, Decimals: units.Decimals(to.q, to.to),
		Band: chart.Band{Low: orNone(to.limit(q.Band.Low)), Aim: orNone(to.limit(q.Band.Aim)), High: orNone(to.limit(q.Band.High))}}
	for _, h := range q.History {
		strip.Line = append(strip.Line, chart.Doubtful{At: h.At, Mean: to.value(h.Mean), SD: math.Abs(to.slope()) * h.SD})
	}
	return strip
}

// feedFields are the form's fields as typed.
type feedFields struct{ Times, Grams, Food, Fish, Each, Harvest, Share string }

// feedTold is what other feeding comes to, the part of the page that is asked for anew.
type feedTold struct {
	Problem    string
	Asked      bool
	Quantities []quantityPlans
}

func typedFeeding(ask url.Values) feedFields {
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	return feedFields{g("times"), g("grams"), g("food"), g("fish"), g("each"), g("harvest"), g("share")}
}

// feedDays is how far plans of feeding are followed.
const feedDays = 180

func (s *Server) workFeeding(f *book.Facts, t *book.TankFacts, ask url.Values) feedTold {
	plans, err := feedPlans(typedFeeding(ask), f.AsOf.In(t.Location))
	if err != nil {
		return feedTold{Asked: true, Problem: sentence(err.Error())}
	}
	if len(plans) == 0 {
		return feedTold{}
	}
	a := whatif.Ask{Tank: t.Tank.Name, Days: feedDays, Seed: 1, Only: []units.Quantity{units.Nitrate, units.Phosphate}, Plans: append([]whatif.Plan{whatif.GoOn()}, plans...)}
	all, err := whatif.Work(s.Desk, f, a, f.AsOf)
	if err != nil {
		return feedTold{Asked: true, Problem: sentence(err.Error())}
	}
	v := feedTold{Asked: true}
	for i := range all[0].Courses {
		v.Quantities = append(v.Quantities, s.panelsOf(f, t, all, i))
	}
	return v
}

// feedPlans are the plans of the form's fields.
func feedPlans(typed feedFields, now time.Time) ([]whatif.Plan, error) {
	var texts []planAsked
	if typed.Times != "" {
		texts = append(texts, planAsked{"feed " + dotted(typed.Times) + " times", "food " + typed.Times + " times"})
	}
	if typed.Grams != "" || typed.Food != "" {
		texts = append(texts, planAsked{"also feed " + dotted(typed.Grams) + " g " + typed.Food, typed.Grams + " g " + typed.Food + " a day more"})
	}
	if typed.Fish != "" || typed.Each != "" {
		texts = append(texts, planAsked{dotted(typed.Fish) + " more fish of " + dotted(typed.Each) + " g", typed.Fish + " more fish"})
	}
	if typed.Harvest != "" {
		texts = append(texts, planAsked{"harvest " + dotted(typed.Harvest) + " g every 7", typed.Harvest + " g harvested a week"})
	}
	if typed.Share != "" {
		texts = append(texts, planAsked{"change " + dotted(typed.Share) + "% every 7", typed.Share + " % of the water a week"})
	}
	if len(texts) > 3 {
		return nil, fmt.Errorf("%d plans beside going on are too many to compare; expected three at most", len(texts))
	}
	var out []whatif.Plan
	for _, asked := range texts {
		p, err := whatif.ParsePlan(asked.text, now)
		if err != nil {
			return nil, fmt.Errorf("%s cannot be followed; expected figures above 0, and a food that is declared or of a usual kind", asked.name)
		}
		p.Name = asked.name
		out = append(out, p)
	}
	return out, nil
}

// dotted is a typed figure with a decimal point.
func dotted(text string) string { return strings.ReplaceAll(strings.TrimSpace(text), ",", ".") }
