package makeup

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"gonum.org/v1/gonum/mat"

	"driftline/internal/substance"
	"driftline/seawater"
	"driftline/units"
)

// saltPerLitre is what a sea salt with its crystal water usually takes for a
// salinity of 35, in g/L. Common practice, no source; the label says it better.
const saltPerLitre = 37.0

// Finder finds a substance by name.
type Finder func(name string) (substance.Substance, error)

// parseFloat reads a plain decimal.
func parseFloat(s string) (float64, error) {
	v, err := strconv.ParseFloat(s, 64)
	if err == nil && (math.IsNaN(v) || math.IsInf(v, 0)) {
		return 0, strconv.ErrRange
	}
	return v, err
}

// recipe is a batch while it is worked out. Levels are in default units.
type recipe struct {
	ask        Ask
	find       Finder
	have, want map[units.Quantity]float64
	unit       map[units.Quantity]string
	order      []units.Quantity // of the wants, as they are shown
	named      []substance.Substance
	chosen     []choice
	share      float64 // of the full salt that is weighed: under 1 where supplements bring the rest of the salinity
	batch      Batch
}

// holds is what the water has of a quantity before supplements.
func (r *recipe) holds(q units.Quantity) float64 { return r.have[q] * r.share }

// choice is a substance with the quantity it is given for.
type choice struct {
	s      substance.Substance
	q      units.Quantity
	amount float64
}

// Mix works a batch out: grams of salt, and of each supplement what reaches the
// aims, solved together since one may bring along another. Where the salt is
// still to be weighed, less of it is taken, so that the finished water has the
// salinity asked for. It fails when the ask is impossible.
func Mix(a Ask, find Finder) (Batch, error) {
	r, err := newRecipe(a, find)
	if err != nil {
		return Batch{}, err
	}
	if err := r.balance(); err != nil {
		return Batch{}, err
	}
	r.salt()
	r.add()
	r.results()
	r.warn()
	r.steps()
	return r.batch, nil
}

func newRecipe(a Ask, find Finder) (*recipe, error) {
	if !(a.Litres > 0) || a.Litres > 1e6 {
		return nil, fmt.Errorf("a batch of %g L is not possible; expected more than 0 and up to 1,000,000 L", a.Litres)
	}
	if a.TempC == 0 {
		a.TempC = 25
	}
	if !(a.Salinity > 0) || a.Salinity > 45 {
		return nil, fmt.Errorf("a salinity of %g is not that of a sea tank; expected above 0 and up to 45", a.Salinity)
	}
	if _, err := seawater.Density(a.Salinity, a.TempC); err != nil {
		return nil, err
	}
	r := &recipe{ask: a, find: find, share: 1, have: map[units.Quantity]float64{}, want: map[units.Quantity]float64{}, unit: map[units.Quantity]string{}}
	if err := r.name(); err != nil {
		return nil, err
	}
	for _, f := range a.Have {
		if err := r.take(r.have, f); err != nil {
			return nil, err
		}
	}
	for _, f := range a.Want {
		if err := r.take(r.want, f); err != nil {
			return nil, err
		}
		if !slices.Contains(r.order, f.Quantity) {
			r.order = append(r.order, f.Quantity)
		}
		if _, tested := r.have[f.Quantity]; tested {
			continue
		}
		natural, ok := Natural(f.Quantity, a.Salinity, a.TempC)
		if !ok {
			return nil, fmt.Errorf("what the salt gives of %s is not known; say it beside what the water has", f.Quantity)
		}
		r.have[f.Quantity] = natural
	}
	return r, nil
}

func (r *recipe) take(into map[units.Quantity]float64, f Figure) error {
	if len(substance.Usual(f.Quantity)) == 0 || f.Quantity == units.Salinity {
		return fmt.Errorf("%s is not raised by a supplement; expected such as magnesium, calcium or alkalinity", f.Quantity)
	}
	v, err := units.Convert(f.Quantity, f.Value, f.Unit, f.Quantity.Default())
	if err != nil {
		return err
	}
	into[f.Quantity] = v
	if into := r.unit; into[f.Quantity] == "" || f.Unit != "" {
		into[f.Quantity] = f.Unit
	}
	return nil
}

// choose finds a substance for each quantity that lacks something: of those
// named, the first that raises it, else the usual one.
func (r *recipe) choose() error {
	r.chosen = nil
	for _, q := range r.order {
		if r.want[q] <= r.holds(q)*(1+1e-9) {
			continue
		}
		s, err := r.suitable(q)
		if err != nil {
			return err
		}
		if r.taken(s.Name) {
			continue // one substance for two quantities: it cannot fit both
		}
		r.chosen = append(r.chosen, choice{s: s, q: q})
	}
	return nil
}

func (r *recipe) suitable(q units.Quantity) (substance.Substance, error) {
	for _, s := range r.named {
		if s.PerUnit(q) > 0 && !r.taken(s.Name) {
			return s, nil
		}
	}
	return r.find(substance.Usual(q)[0])
}

func (r *recipe) taken(name string) bool {
	return slices.ContainsFunc(r.chosen, func(c choice) bool { return c.s.Name == name })
}

// solve finds the amounts that reach all aims together. One that would have to be
// taken out is left out and the rest solved anew.
func (r *recipe) solve() error {
	active := make([]int, len(r.chosen))
	for i := range active {
		active[i] = i
	}
	for len(active) > 0 {
		n := len(active)
		a, b := mat.NewDense(n, n, nil), mat.NewVecDense(n, nil)
		for i, at := range active {
			q := r.chosen[at].q
			b.SetVec(i, (r.want[q]-r.holds(q))*r.ask.Litres)
			for k, other := range active {
				a.Set(i, k, r.chosen[other].s.PerUnit(q))
			}
		}
		var x mat.VecDense
		if err := x.SolveVec(a, b); err != nil {
			return fmt.Errorf("these substances cannot reach the aims together: %w", err)
		}
		negative := -1
		for i := range active {
			if x.AtVec(i) < 0 && (negative < 0 || x.AtVec(i) < x.AtVec(negative)) {
				negative = i
			}
		}
		if negative < 0 {
			for i, at := range active {
				r.chosen[at].amount = substance.Round(x.AtVec(i))
			}
			return nil
		}
		active = slices.Delete(active, negative, negative+1)
	}
	return nil
}

func (r *recipe) water() substance.Water {
	return substance.Water{Litres: r.ask.Litres, SP: r.ask.Salinity, TempC: r.ask.TempC}
}

func (r *recipe) saltName() string {
	if r.ask.Salt != "" {
		return r.ask.Salt
	}
	return "sea salt"
}

// add lists the supplements with what each does.
func (r *recipe) add() {
	for _, c := range r.chosen {
		if c.amount == 0 {
			continue
		}
		a := Addition{Substance: c.s.Name, Amount: c.amount, Unit: c.s.Unit(), Raises: r.raises(c, c.q)}
		for _, q := range c.s.Quantities() {
			if q != c.q {
				a.Also = append(a.Also, r.raises(c, q))
			}
		}
		a.Says = fmt.Sprintf("%s of %s raises %s by %s.", weight(c.amount, a.Unit), c.s.Name, c.q, units.Format(c.q, a.Raises.By, a.Raises.Unit))
		r.batch.Additions = append(r.batch.Additions, a)
	}
}

// raises is a difference, which the unit of the aim may scale but not shift.
func (r *recipe) raises(c choice, q units.Quantity) Raises {
	by := c.s.Raise(q, c.amount, r.ask.Litres)
	unit := r.unitOf(q)
	v, err := units.ConvertSD(q, max(r.holds(q), 1e-9), math.Abs(by), q.Default(), unit)
	if err != nil {
		return Raises{q, by, q.Default()}
	}
	return Raises{q, math.Copysign(v, by), unit}
}

func (r *recipe) unitOf(q units.Quantity) string {
	if u := r.unit[q]; u != "" {
		return u
	}
	return q.Default()
}

// level is what the batch holds of a quantity in the end.
func (r *recipe) level(q units.Quantity) (float64, bool) {
	_, known := r.have[q]
	v := r.holds(q)
	if !known {
		if v, known = Natural(q, r.ask.Salinity*r.share, r.ask.TempC); !known {
			return 0, false
		}
	}
	for _, c := range r.chosen {
		v += c.s.Raise(q, c.amount, r.ask.Litres)
	}
	return v, true
}

// results lists the quantities asked for first, then the others the salt fixes.
func (r *recipe) results() {
	listed := slices.Clone(r.order)
	for _, f := range r.ask.Have {
		if !slices.Contains(listed, f.Quantity) {
			listed = append(listed, f.Quantity)
		}
	}
	for _, q := range []units.Quantity{units.Alkalinity, units.Calcium, units.Magnesium, units.Potassium, units.Strontium} {
		if !slices.Contains(listed, q) {
			listed = append(listed, q)
		}
	}
	for _, q := range listed {
		if v, ok := r.level(q); ok {
			if shown, err := units.Convert(q, v, q.Default(), r.unitOf(q)); err == nil {
				r.batch.Result = append(r.batch.Result, Figure{q, shown, r.unitOf(q)})
			}
		}
	}
	r.batch.Result = append(r.batch.Result, Figure{units.Salinity, r.salinity(), "PSU"})
}

// weight writes an amount as it is weighed.
func weight(v float64, unit string) string {
	switch {
	case v >= 10000:
		return units.FormatAmount(v/1000) + map[string]string{"g": " kg", "mL": " L"}[unit]
	default:
		return units.FormatAmount(v) + " " + unit
	}
}
