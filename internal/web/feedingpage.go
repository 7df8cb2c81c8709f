package web

import (
	"fmt"
	"html/template"
	"net/http"
	"net/url"
	"time"

	"driftline/internal/book"
	"driftline/internal/feeding"
	"driftline/internal/food"
	"driftline/internal/standing"
	"driftline/units"
)

// feedingView is a tank's meals, what becomes of them and what other feeding would do.
type feedingView struct {
	frame
	Tank, TankHref, Action string
	Given                  string // today, in a sentence
	Meals                  []mealRow
	Again                  []mealButton
	Write                  string // where a meal is sent
	Other                  string // the form for any other meal
	Undeclared             []link // foods nobody has said what they hold
	Spans                  []link
	Budget                 budgetTold
	Settles                []settledTold
	Balance                string
	Ration                 rationTold
	Peak                   template.HTML
	PeakSays               string
	Trial                  string
	Signs                  template.HTML
	SignsSays              string
	Begin                  []link
	Typed                  feedFields
	Told                   feedTold
}

// mealRow is a meal of today.
type mealRow struct{ Clock, Words, By, Href string }

// mealButton gives a usual meal again in one tap.
type mealButton struct{ ID, Food, Amount, Unit, Words string }

// budgetTold is a span's nitrogen and phosphorus.
type budgetTold struct {
	Problem   string
	Span      string
	Nutrients []flowTold
	NotAll    []string
	Growing   string
	Grown     bool
	Alk       string
}

type flowTold struct {
	Name    string
	Picture template.HTML
	Rows    []flowRow
}

type flowRow struct{ Name, Amount, Level string }

// settledTold is where a nutrient goes if all goes on.
type settledTold struct{ Name, Href, Level, Says, Hold, Cut, Learned, Rock string }

type rationTold struct {
	Says    string
	Warning bool
}

var feedingScreen = screen[feedingView]{"feeding.html"}

func feedingPath(tank string) string { return "/feeding/" + pathEscape(tank) }

// feedingSpans are the spans a budget is shown over, in days.
var feedingSpans = []struct {
	name, words string
	days        int
}{{"week", "a week", 7}, {"month", "30 days", 30}, {"quarter", "90 days", 90}}

func (s *Server) feeding(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	ask := r.URL.Query()
	if ask.Get("part") == partAsked {
		return feedingScreen.part(s, w, "findings", s.workFeeding(f, t, ask))
	}
	tank := t.Tank.Name
	v := feedingView{frame: s.frame(r, "Feeding, "+tank, "rounds"), Tank: tank, TankHref: tankPath(tank), Action: feedingPath(tank),
		Write: writePath(tank) + "/feeding", Other: writePath(tank) + "/feeding?to=" + url.QueryEscape(feedingPath(tank)), Typed: typedFeeding(ask), Told: s.workFeeding(f, t, ask)}
	s.mealsToday(f, t, &v)
	days := 30
	for _, sp := range feedingSpans {
		current := ask.Get("span") == sp.name || ask.Get("span") == "" && sp.days == days
		if ask.Get("span") == sp.name {
			days = sp.days
		}
		v.Spans = append(v.Spans, link{sp.words, feedingPath(tank) + "?span=" + sp.name + "#budget", current})
	}
	from := f.AsOf.AddDate(0, 0, -days)
	b, err := feeding.Work(s.Desk, f, tank, from, f.AsOf)
	v.Budget = budgetWords(b, t, days, err)
	for q, set := range map[string]*feeding.Settling{"nitrate": b.Nitrate, "phosphate": b.Phosphate} {
		if set != nil && q == "nitrate" {
			v.Settles = append([]settledTold{settledWords(q, tank, set, b)}, v.Settles...)
		} else if set != nil {
			v.Settles = append(v.Settles, settledWords(q, tank, set, b))
		}
	}
	v.Undeclared = undeclaredFoods(b)
	v.Ration = rationWords(feeding.RationOf(f, t, f.AsOf.AddDate(0, 0, -14), f.AsOf))
	s.peakOfDay(f, t, &v)
	s.signsOf(f, t, &v)
	for _, ready := range []struct {
		name   string
		fields url.Values
	}{
		{"half as much again", url.Values{"times": {"1.5"}}}, {"half", url.Values{"times": {"0.5"}}},
		{"five more fish of 4 g", url.Values{"fish": {"5"}, "each": {"4"}}}, {"100 g harvested a week", url.Values{"harvest": {"100"}}},
	} {
		v.Begin = append(v.Begin, link{ready.name, feedingPath(tank) + "?" + ready.fields.Encode() + "#findings", false})
	}
	v.Trial = newTrialPath + "?" + url.Values{"tank": {tank}, "name": {"smaller meals"}, "change": {"the same food in more and smaller meals"},
		"question": {"Does the same food in smaller meals leave less in the water?"}}.Encode()
	return feedingScreen.show(s, w, http.StatusOK, v)
}

// mealsToday tells what was given and offers the usual meals again.
func (s *Server) mealsToday(f *book.Facts, t *book.TankFacts, v *feedingView) {
	nitrogen, all, hand := 0.0, true, 0
	var last feeding.Served
	for _, m := range feeding.Today(f, t, f.AsOf) {
		row := mealRow{Clock: m.At.In(t.Location).Format("15:04"), Words: join(amount(m.Amount, m.Unit), m.Food), By: m.By, Href: linePath(m.Line)}
		if m.Machine != "" {
			row.Clock, row.Words = "machine", row.Words+", "+timesSoFar(m.TimesToday)
		} else {
			hand++
			last = m
		}
		nitrogen, all = nitrogen+m.N, all && m.Known
		v.Meals = append(v.Meals, row)
	}
	v.Given = givenWords(hand, last, t.Location, nitrogen, all, len(v.Meals))
	for _, m := range feeding.Usual(t, 6) {
		v.Again = append(v.Again, mealButton{book.NewID(s.Now()), m.Food, string(m.Amount), m.Unit, join(amount(m.Amount, m.Unit), m.Food)})
	}
}

func timesSoFar(n int) string {
	if n == 1 {
		return "once so far"
	}
	return fmt.Sprintf("%d times so far", n)
}

// givenWords tells whoever comes second that it was done.
func givenWords(hand int, last feeding.Served, zone *time.Location, nitrogen float64, all bool, meals int) string {
	if meals == 0 {
		return "Nothing was given today, as far as the book knows."
	}
	text := "Nothing was given by hand today."
	if hand > 0 {
		text = fmt.Sprintf("Fed by hand %s today, last at %s", timesWord(hand), last.At.In(zone).Format("15:04"))
		if last.By != "" {
			text += " by " + last.By
		}
		text += "."
	}
	if nitrogen > 0 {
		text += fmt.Sprintf(" All of today's food so far brought %s g of nitrogen", units.Number(nitrogen, 3))
		if !all {
			text += ", what is not declared left out"
		}
		text += "."
	}
	return text
}

func timesWord(n int) string {
	switch n {
	case 1:
		return "once"
	case 2:
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// undeclaredFoods are foods of the span that could not be counted, with the form
// that puts that right.
func undeclaredFoods(b feeding.Budget) []link {
	var out []link
	for _, e := range b.ByFood {
		if e.Why != "" {
			out = append(out, link{Name: e.Food + ": " + e.Why, Href: "/settings/declare/food?name=" + url.QueryEscape(e.Food)})
		}
	}
	return out
}

func rationWords(r feeding.Ration) rationTold {
	switch {
	case r.Fish.Grams == 0 && r.Fish.Unknown == 0:
		return rationTold{Says: "No fish of this tank are in the book, so what they need cannot be said."}
	case r.Fish.Grams == 0:
		return rationTold{Says: "Nobody has said what the fish of this tank weigh, so what they need cannot be said."}
	}
	head := fmt.Sprintf("%s fish of %s g in all were fed %s ± %s g of protein a day in the last fortnight, %s of what fish of that size need to keep their weight (by a figure for clownfish at 27 °C, Lupatsch and others 2013): food of %s %% of their mass.",
		units.Number(r.Fish.Count, 0), units.Number(r.Fish.Grams, 0), units.Number(r.Protein.Mean, 2), units.Number(r.Protein.SD, 2), ratioWords(r.Share), units.Number(r.Percent, 1))
	if r.Fish.Unknown > 0 {
		head += fmt.Sprintf(" %d more could not be counted.", r.Fish.Unknown)
	}
	if r.Short {
		return rationTold{Says: head + " That is too little: thin fish come before high nutrients. Feed more, or look again at what was written down.", Warning: true}
	}
	return rationTold{Says: head}
}

func ratioWords(v float64) string {
	if v < 2 {
		return units.Number(100*v, 0) + " %"
	}
	return units.Number(v, 1) + " times"
}

// foodFields are the fields of a food's declaration.
func foodFields(c sheetContext) []field {
	moisture := field{Name: "moisture", Label: "Moisture, % as fed", Input: "figure", Optional: true}
	protein := field{Name: "protein", Label: "Crude protein, % as fed", Input: "figure", Optional: true, Hint: "From its label. Without it the usual figure of its kind holds: " + food.KindNames() + "."}
	return []field{{Name: "name", Label: "Food", Input: "text", Value: c.value("name"), Suggest: foodNames(c.facts)},
		protein, moisture,
		{Name: "phosphorus", Label: "Phosphorus, % as fed", Input: "figure", Optional: true},
		{Name: "nitrogen", Label: "Nitrogen, % as fed, where the label says it", Input: "figure", Optional: true},
		{Name: "portion", Label: "Portion it is given in", Input: "text", Optional: true, Suggest: []string{"cube", "spoon", "pinch", "sheet"}},
		{Name: "portion_grams", Label: "One portion weighs, g", Input: "figure", Optional: true, Hint: "Weigh ten and divide; drain frozen food as you do before feeding."},
		momentField(c), noteField()}
}

// foodNames are foods given or declared so far.
func foodNames(f *book.Facts) []string {
	all := names(f.Foods, func(b *book.Food) string { return b.Name })
	for i := range f.Tanks {
		all = append(all, used(&f.Tanks[i], func(l book.Line) string {
			if d, ok := l.Body.(*book.Feeding); ok {
				return d.Food
			}
			return ""
		}, 12)...)
	}
	for _, k := range food.Kinds() {
		all = append(all, k.Name)
	}
	return distinct(all)
}

// settledWords tells where a nutrient goes.
func settledWords(q, tank string, s *feeding.Settling, b feeding.Budget) settledTold {
	quantity := units.Quantity(q)
	decimals := units.Decimals(quantity, s.Unit) + 1
	out := settledTold{Name: q, Href: quantityPath(tank, q), Level: units.FormatPM(quantity, s.P50, (s.P90-s.P10)/2.563, s.Unit)}
	out.Says = fmt.Sprintf("is where it settles as fed now, eight cases in ten %s to %s, nearly so in %.0f days.", units.Number(s.P10, decimals), units.Number(s.P90, decimals), s.Days)
	out.Says += " Below its band: " + standing.ChanceWords(s.Below) + "; above: " + standing.ChanceWords(s.Above) + "."
	if s.Learned {
		out.Learned = fmt.Sprintf("%s ± %s %% of what is fed ends in the water as %s, by what the readings taught.", units.Number(100*s.Yield.Mean, 0), units.Number(100*s.Yield.SD, 0), q)
	}
	if s.RockChance > 0 {
		out.Rock = fmt.Sprintf("That rock gives and takes %s is %s; about %s %% of the removal at the usual level is then exchange with it.", q, standing.ChanceWords(s.RockChance), units.Number(100*s.RockShare/s.RockChance, 0))
	}
	if h := s.HoldsAim; h != nil {
		out.Hold = fmt.Sprintf("To settle at the aim it would take %s times the food of now, eight cases in ten %s to %s.", units.Number(h.P50, 2), units.Number(h.P10, 2), units.Number(h.P90, 2))
	}
	if c := s.Cut; c != nil {
		out.Cut = fmt.Sprintf("Or, fed as now, a harvest of %s g of drained macroalgae a week more, eight cases in ten %s to %s g.", round2(c.P50), round2(c.P10), round2(c.P90))
	}
	return out
}

// round2 writes a figure to about two digits.
func round2(v float64) string {
	step := 1.0
	for v/step >= 100 {
		step *= 10
	}
	return units.Number(float64(int(v/step+0.5))*step, 0)
}

func spanWordsOf(days int) string { return "the last " + fmt.Sprint(days) + " days" }
