package web

import (
	"errors"
	"fmt"
	"html/template"
	"math"
	"net/http"
	"net/url"
	"slices"
	"strings"

	"driftline/internal/book"
	"driftline/internal/whatif"
)

// whatifView is the page that follows a tank on under several plans.
type whatifView struct {
	frame
	Tank, TankHref, Action string
	Begin                  []link // ready questions
	Typed                  whatifFields
	Stops                  []option
	Mixes                  []option
	Told                   whatifTold
}

// whatifFields are the form's fields as typed.
type whatifFields struct {
	Days              string
	Away, From        string
	Share, Every, Mix string
	Stop, Own         string
}

// whatifTold is what the plans come to, the part of the page that is asked for anew.
type whatifTold struct {
	Problem    string
	Tank       string
	Days       int
	Lead       string
	Plans      []planSummary
	Quantities []quantityPlans
	Uses       planTable
	Assumed    []string
}

// planSummary is a plan in a sentence.
type planSummary struct{ Name, Says string }

// quantityPlans are the panels of one quantity.
type quantityPlans struct {
	Name, Href string
	Panels     []panel
}

type panel struct {
	Plan, End, Leaves, Against string
	Picture                    template.HTML
	Shape                      string
}

// planTable is what each plan takes, a column for each.
type planTable struct {
	Plans []string
	Rows  []planRow
}

type planRow struct {
	Name  string
	Cells []string
}

var whatifScreen = screen[whatifView]{"whatif.html"}

func whatifPath(tank string) string { return "/whatif/" + pathEscape(tank) }

func (s *Server) whatif(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	ask := r.URL.Query()
	told := s.workWhatif(f, t, ask)
	if ask.Get("part") == partAsked {
		return whatifScreen.part(s, w, "findings", told)
	}
	tank := t.Tank.Name
	v := whatifView{frame: s.frame(r, "What if, "+tank, "rounds"), Tank: tank, TankHref: tankPath(tank), Action: whatifPath(tank), Told: told, Typed: typedWhatif(ask)}
	for _, ready := range []struct {
		name   string
		fields url.Values
	}{
		{"away for a fortnight", url.Values{"away": {"14"}}}, {"a tenth of the water each week", url.Values{"share": {"10"}, "every": {"7"}}},
		{"no more doses", url.Values{"stop": {"dosing"}, "days": {"30"}}}, {"all three side by side", url.Values{"away": {"14"}, "share": {"10"}, "every": {"7"}, "stop": {"dosing"}, "days": {"30"}}},
	} {
		v.Begin = append(v.Begin, link{ready.name, whatifPath(tank) + "?" + ready.fields.Encode(), false})
	}
	v.Stops = stopChoices(t, v.Typed.Stop)
	v.Mixes = []option{{"", "as the declared changes", v.Typed.Mix == ""}}
	for _, name := range mixNames(f) {
		v.Mixes = append(v.Mixes, option{name, name, same(name, v.Typed.Mix)})
	}
	return whatifScreen.show(s, w, http.StatusOK, v)
}

func typedWhatif(ask url.Values) whatifFields {
	g := func(name string) string { return strings.TrimSpace(ask.Get(name)) }
	return whatifFields{Days: g("days"), Away: g("away"), From: g("from"), Share: g("share"), Every: g("every"), Mix: g("mix"), Stop: g("stop"), Own: strings.TrimSpace(ask.Get("own"))}
}

// mixNames are the declared mixes, each once.
func mixNames(f *book.Facts) []string {
	var out []string
	for i := range f.Mixes {
		if name := f.Mixes[i].Body.Name; !slices.ContainsFunc(out, func(o string) bool { return same(o, name) }) {
			out = append(out, name)
		}
	}
	return out
}

// stopChoices are what can be left off: all doses, all hand work, each routine.
func stopChoices(t *book.TankFacts, chosen string) []option {
	out := []option{{"", "nothing", chosen == ""}, {"dosing", "all doses, by hand and machine", chosen == "dosing"}, {"hands", "all work by hand", chosen == "hands"},
		{"top-off", "top-off", chosen == "top-off"}}
	for i := range t.Routines {
		name := t.Routines[i].Body.Name
		if !slices.ContainsFunc(out, func(o option) bool { return o.Value == "routine:"+name }) {
			out = append(out, option{"routine:" + name, name, chosen == "routine:"+name})
		}
	}
	return out
}

// usualDaysAhead is how far the page looks when nothing is said.
const usualDaysAhead = 60

// whatifAsked reads the form into plans, going on as declared first.
func whatifAsked(f *book.Facts, t *book.TankFacts, ask url.Values) (whatif.Ask, error) {
	typed := typedWhatif(ask)
	a := whatif.Ask{Tank: t.Tank.Name, Days: usualDaysAhead, Seed: 1, Plans: []whatif.Plan{whatif.GoOn()}}
	if typed.Days != "" {
		days, ok := typedFigure(typed.Days)
		if !ok || days != math.Trunc(days) || days < 1 || days > 365 {
			return a, fmt.Errorf("the days looked ahead, %s, are not a whole number from 1 to 365", shorten(typed.Days))
		}
		a.Days = int(days)
	}
	plans, err := plansAsked(typed)
	if err != nil {
		return a, err
	}
	if len(plans) > 3 {
		return a, fmt.Errorf("%d plans beside going on are too many to compare; expected three at most", len(plans))
	}
	for _, asked := range plans {
		p, err := whatif.ParsePlan(asked.text, f.AsOf.In(t.Location))
		if err != nil {
			return a, err
		}
		if asked.name != "" {
			p.Name = asked.name
		}
		a.Plans = append(a.Plans, p)
	}
	return a, nil
}

// planAsked is a plan as text, and what to call it.
type planAsked struct{ text, name string }

// plansAsked are the plans of the form's fields, in their order.
func plansAsked(typed whatifFields) ([]planAsked, error) {
	var out []planAsked
	if typed.Away != "" {
		days, ok := typedFigure(typed.Away)
		if !ok || days <= 0 || days > 365 {
			return nil, fmt.Errorf("the days away, %s, are not a number above 0, 365 at most", shorten(typed.Away))
		}
		p := planAsked{fmt.Sprintf("away %g", days), fmt.Sprintf("away %g days", days)}
		if typed.From != "" {
			p.text, p.name = p.text+" from "+typed.From, p.name+" from "+typed.From
		}
		out = append(out, p)
	}
	if typed.Share != "" || typed.Every != "" {
		share, ok := typedFigure(typed.Share)
		every, also := typedFigure(typed.Every)
		if !ok || !also || share <= 0 || share > 100 || every <= 0 {
			return nil, errors.New("a water change needs its share of the water, above 0 to 100 %, and the days from one to the next")
		}
		p := planAsked{fmt.Sprintf("change %g%% every %g", share, every), fmt.Sprintf("%g %% changed every %g days", share, every)}
		if typed.Mix != "" {
			p.text, p.name = p.text+" of "+typed.Mix, p.name+" of "+typed.Mix
		}
		out = append(out, p)
	}
	switch name, isRoutine := strings.CutPrefix(typed.Stop, "routine:"); {
	case isRoutine:
		out = append(out, planAsked{"stop " + name, "without " + name})
	case typed.Stop == "dosing":
		out = append(out, planAsked{"stop dosing", "no doses"})
	case typed.Stop == "hands":
		out = append(out, planAsked{"machines", "machines only"})
	case typed.Stop == "top-off":
		out = append(out, planAsked{"no top-off", "no top-off"})
	}
	for _, text := range parts(typed.Own, "\n") {
		out = append(out, planAsked{text: text})
	}
	return out, nil
}
