package web

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"

	"driftline/internal/book"
	"driftline/internal/makeup"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/internal/supply"
	"driftline/units"
)

// mixView is the page at the mixing bin: what to weigh for a batch of new salt
// water.
type mixView struct {
	frame
	Action                        string
	Tank, Mix                     string
	Tanks, Mixes                  []link
	Litres, Salinity, Temperature string
	Salt, PerLitre                string
	Bins                          []option
	Rows                          []mixRow
	Change, Every, Weeks          string
	ChangeUsual                   string // what is taken where Change is empty
	ChangeIn                      []option
	Told                          batchView
}

// mixRow is one quantity: what the salt gives, what is wanted, by what it is raised.
type mixRow struct {
	Name, Key, Unit, Have, Want string
	Natural                     string
	With                        []option
}

// batchView is the recipe, the part of the page that is asked for anew.
type batchView struct {
	Shelf   string // what it takes held against the shelf
	Problem string
	Batch   *makeup.Batch
	For     string // what the sheet is for
	Weigh   []weighed
	Result  []mixResult
	Change  *changeView // nil where no tank is chosen
}

// weighed is one thing to weigh, in large print.
type weighed struct{ Amount, What, Why string }

type mixResult struct{ Name, Text string }

var mixScreen = screen[mixView]{"mix.html"}

// mixQuantities are those a batch is usually brought to.
var mixQuantities = []units.Quantity{units.Alkalinity, units.Calcium, units.Magnesium, units.Potassium, units.Strontium}

// mostAdjusted are those whose aims are taken from a tank; the others are left as
// the salt has them unless something is typed.
var mostAdjusted = map[units.Quantity]bool{units.Alkalinity: true, units.Calcium: true, units.Magnesium: true}

func (s *Server) mixing(w http.ResponseWriter, r *http.Request) error {
	f, q := s.facts(), r.URL.Query()
	v := s.mixView(f, q)
	v.Told = s.workBatch(f, q, v)
	if q.Get("part") == partAsked {
		return mixScreen.part(s, w, "findings", v.Told)
	}
	v.frame = s.frame(r, "Make-up water", "water")
	for i := range f.Tanks {
		name := f.Tanks[i].Tank.Name
		v.Tanks = append(v.Tanks, link{name, "/mix?" + url.Values{"tank": {name}}.Encode(), same(name, v.Tank)})
	}
	return mixScreen.show(s, w, http.StatusOK, v)
}

// mixView fills the form: what was typed, else a tank's aims and a mix's makeup.
func (s *Server) mixView(f *book.Facts, q url.Values) mixView {
	bin := makeup.Bin(typedOr(q, "bin", string(makeup.Empty)))
	v := mixView{Action: "/mix", Tank: q.Get("tank"), Mix: q.Get("mix"), Litres: typedOr(q, "litres", "100"), Salinity: typedOr(q, "salinity", "35"),
		Temperature: typedOr(q, "temperature", "25"), Salt: q.Get("salt"), PerLitre: q.Get("per-litre"),
		Bins: []option{{string(makeup.Empty), "still to be weighed", bin != makeup.Mixed}, {string(makeup.Mixed), "in the water, and tested", bin == makeup.Mixed}}}
	fillChange(&v, f, q)
	mix, _ := f.MixAt(v.Mix, f.AsOf)
	for _, m := range f.Mixes {
		href := url.Values{"mix": {m.Body.Name}}
		if v.Tank != "" {
			href.Set("tank", v.Tank)
		}
		v.Mixes = append(v.Mixes, link{m.Body.Name, "/mix?" + href.Encode(), same(m.Body.Name, v.Mix)})
	}
	tank, known := f.Tank(v.Tank)
	for _, quantity := range mixQuantities {
		row := mixRow{Name: string(quantity), Key: strings.ReplaceAll(string(quantity), " ", "-"), Unit: quantity.Default()}
		if u := shownUnit(f, string(quantity)); u != "" {
			row.Unit = u
		}
		if natural, ok := makeup.Natural(quantity, 35, 25); ok {
			if x, err := units.Convert(quantity, natural, quantity.Default(), row.Unit); err == nil {
				row.Natural = plainFigure(x, units.Decimals(quantity, row.Unit))
			}
		}
		row.Have = typedOr(q, "have."+row.Key, contained(mix, quantity, row.Unit))
		want := ""
		if known {
			if aim := standing.BandOf(tank, quantity).Aim; aim != nil && mostAdjusted[quantity] {
				if x, err := units.Convert(quantity, *aim, quantity.Default(), row.Unit); err == nil {
					want = plainFigure(x, units.Decimals(quantity, row.Unit))
				}
			}
		}
		row.Want = typedOr(q, "want."+row.Key, want)
		for _, name := range substance.Usual(quantity) {
			if name != substance.Limewater {
				row.With = append(row.With, option{name, name, same(name, q.Get("with."+row.Key))})
			}
		}
		v.Rows = append(v.Rows, row)
	}
	return v
}

// typedOr is what was typed. In a form that was sent, what is missing was emptied.
func typedOr(q url.Values, name, otherwise string) string {
	if q.Has(name) || q.Has("typed") {
		return strings.TrimSpace(q.Get(name))
	}
	return otherwise
}

// contained is what a declared mix holds of a quantity, in a unit.
func contained(m *book.Mix, quantity units.Quantity, unit string) string {
	if m == nil {
		return ""
	}
	for _, c := range m.Composition {
		q, err := units.ParseQuantity(c.Quantity)
		x, ok := c.Value.Float()
		if err != nil || !ok || q != quantity {
			continue
		}
		if x, err = units.Convert(q, x, c.Unit, unit); err == nil {
			return plainFigure(x, units.Decimals(q, unit))
		}
	}
	return ""
}

// saltNamed is the salt of the batch by name: as typed, else that of the mix.
func saltNamed(f *book.Facts, form mixView) string {
	if form.Salt != "" || form.Mix == "" {
		return form.Salt
	}
	return supply.SaltOf(f, form.Mix)
}

// workBatch works the recipe out from the form as it stands.
func (s *Server) workBatch(f *book.Facts, q url.Values, form mixView) batchView {
	var out batchView
	number := func(name, text string) float64 {
		if text == "" || out.Problem != "" {
			return 0
		}
		x, ok := typedFigure(text)
		if !ok {
			out.Problem = prose.Capital(name) + " " + shorten(text) + " is not a number."
		}
		return x
	}
	a := makeup.Ask{Litres: number("the volume", form.Litres), Salinity: number("the salinity", form.Salinity), TempC: number("the temperature", form.Temperature),
		Salt: form.Salt, SaltGramsPerL: number("the salt in a litre", form.PerLitre), Bin: makeup.Empty}
	if q.Get("bin") == string(makeup.Mixed) {
		a.Bin = makeup.Mixed
	}
	for _, row := range form.Rows {
		quantity := units.Quantity(row.Name)
		if row.Have != "" {
			a.Have = append(a.Have, makeup.Figure{Quantity: quantity, Value: number("what the salt gives of "+row.Name, row.Have), Unit: row.Unit})
		}
		if row.Want != "" {
			a.Want = append(a.Want, makeup.Figure{Quantity: quantity, Value: number("the aim of "+row.Name, row.Want), Unit: row.Unit})
		}
		if with := q.Get("with." + row.Key); with != "" && row.Want != "" {
			a.With = append(a.With, with)
		}
	}
	if out.Problem != "" {
		return out
	}
	batch, err := makeup.Mix(a, func(name string) (substance.Substance, error) { return substance.Find(f, name, f.AsOf) })
	if err != nil {
		out.Problem = sentence(err.Error())
		return out
	}
	out.Batch = &batch
	out.For = fmt.Sprintf("%s L at %s and %s.", units.FormatAmount(batch.Litres), units.Format(units.Salinity, batch.Salinity, "PSU"), units.Format(units.Temperature, batch.TempC, "°C"))
	out.Weigh = []weighed{{units.FormatAmount(batch.SaltGrams) + " g", batch.Salt, batch.SaltWhy}}
	if batch.Bin == makeup.Mixed {
		out.Weigh = nil
	}
	for _, a := range batch.Additions {
		why := "raises " + string(a.Raises.Quantity) + " by " + units.Format(a.Raises.Quantity, a.Raises.By, a.Raises.Unit)
		out.Weigh = append(out.Weigh, weighed{units.FormatAmount(a.Amount) + " " + a.Unit, a.Substance, why})
	}
	out.Shelf = batchOnShelf(f, batch, saltNamed(f, form))
	for _, x := range batch.Result {
		out.Result = append(out.Result, mixResult{string(x.Quantity), units.Format(x.Quantity, x.Value, x.Unit)})
	}
	if form.Tank == "" {
		return out
	}
	ask := makeup.Following{Tank: form.Tank, Litres: number("the change", form.Change), EveryDays: number("the interval", form.Every), Weeks: int(number("the weeks", form.Weeks))}
	if out.Problem == "" {
		out.Change, out.Problem = s.workChange(f, batch, ask)
	}
	return out
}
