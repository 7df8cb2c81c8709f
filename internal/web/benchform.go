package web

import (
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"driftline/internal/prose"
	"driftline/internal/waterbench"
	"driftline/units"
)

// benchWater is one of the waters on the bench, as asked for on the page.
type benchWater struct {
	Mark         string // "a" or "b", the start of its fields' names
	Name         string
	Rows, Others []measure
	OthersOpen   bool
	Filled       bool // from the book
	Air          measure
}

// measure is one figure to type. Problem is what is wrong with it.
type measure struct {
	Quantity, Label string
	Name, DOM       string // of the input
	Value, Doubt    string
	Units           []option
	Sample          *sampleAsk
	Age             string // when a figure from the book was read
	Problem         string
}

// benchQuantities are what the bench asks for, those most keepers measure first.
var benchQuantities = []units.Quantity{units.Temperature, units.Salinity, units.PH, units.Alkalinity,
	units.Calcium, units.Magnesium, units.TotalAmmonia}

// benchOthers are the rest, but for redox, from which nothing follows.
func benchOthers() []units.Quantity {
	var rest []units.Quantity
	for _, q := range units.Quantities() {
		if q != units.Redox && !slices.Contains(benchQuantities, q) {
			rest = append(rest, q)
		}
	}
	return rest
}

func newBenchWater(mark, name string) benchWater {
	w := benchWater{Mark: mark, Name: name}
	for _, q := range benchQuantities {
		w.Rows = append(w.Rows, newMeasure(mark, q))
	}
	for _, q := range benchOthers() {
		w.Others = append(w.Others, newMeasure(mark, q))
	}
	w.Air = measure{Label: "CO2 in the room's air", Name: mark + ".air", DOM: mark + "-air", Units: options("µatm")}
	return w
}

func newMeasure(mark string, q units.Quantity) measure {
	m := measure{Quantity: string(q), Label: prose.Capital(string(q)), Name: mark + "." + slug(string(q)), DOM: mark + "-" + slug(string(q)),
		Sample: sampleAskOf(nil, string(q))}
	m.setUnit(q.Default())
	return m
}

func (m *measure) setUnit(unit string) {
	f := field{Options: options(quantityUnits(m.Quantity)...), Input: "choice"}
	f.choose(unit)
	m.Units = f.Options
}

func (m measure) unit() string {
	for _, o := range m.Units {
		if o.Chosen {
			return o.Value
		}
	}
	return ""
}

// all visits every quantity of the water.
func (w *benchWater) all(visit func(*measure)) {
	for i := range w.Rows {
		visit(&w.Rows[i])
	}
	for i := range w.Others {
		visit(&w.Others[i])
	}
}

// typed tells whether the address says anything of this water.
func (w benchWater) typed(q url.Values) bool {
	for name := range q {
		if strings.HasPrefix(name, w.Mark+".") {
			return true
		}
	}
	return false
}

// refill puts the figures of the page's address on the form. A figure that is
// as the book has it keeps its age.
func (w *benchWater) refill(q url.Values) {
	w.all(func(m *measure) {
		if v := strings.TrimSpace(q.Get(m.Name)); v != m.Value || m.unit() != q.Get(m.Name+".unit") {
			m.Value, m.Age = v, ""
		}
		if u := canonicalUnit(m.Quantity, q.Get(m.Name+".unit")); u != "" {
			m.setUnit(u)
		}
		m.Doubt = strings.TrimSpace(q.Get(m.Name + ".doubt"))
		if m.Sample != nil {
			m.Sample.Value = strings.TrimSpace(q.Get(m.Name + ".sample"))
			if u := canonicalUnit(string(units.Temperature), q.Get(m.Name+".sample-unit")); u != "" {
				m.Sample.setUnit(u)
			}
		}
	})
	w.Air.Value = strings.TrimSpace(q.Get(w.Air.Name))
}

// sample is what the engine is asked about; a figure that cannot be used is
// marked and left out. It holds nothing when nothing was typed.
func (w *benchWater) sample() waterbench.Sample {
	s := waterbench.Sample{Name: w.Name}
	w.all(func(m *measure) {
		if m.Value == "" {
			return
		}
		e, err := m.entry()
		if err != nil {
			m.Problem = err.Error()
			return
		}
		s.Entries = append(s.Entries, e)
	})
	if w.Air.Value != "" {
		v, err := positive(w.Air.Value)
		if err == nil && (v < 100 || v > 20000) {
			err = fmt.Errorf("%s is not possible here; expected 100 to 20,000 µatm", shorten(w.Air.Value))
		}
		if err != nil {
			w.Air.Problem = err.Error()
		} else {
			s.AirPCO2 = v
		}
	}
	w.unfold()
	return s
}

// unfold brings the figures that are there out of the fold.
func (w *benchWater) unfold() {
	var empty []measure
	for _, m := range w.Others {
		if m.Value != "" {
			w.Rows = append(w.Rows, m)
		} else {
			empty = append(empty, m)
		}
	}
	w.Others, w.OthersOpen = empty, w.Air.Value != ""
}

// entry reads the figure with its doubt and the temperature of its sample.
func (m measure) entry() (waterbench.Entry, error) {
	e := waterbench.Entry{Quantity: units.Quantity(m.Quantity), Unit: m.unit()}
	text, err := figure(m.Value)
	if err != nil {
		return e, err
	}
	if e.Value, err = strconv.ParseFloat(text, 64); err != nil {
		return e, fmt.Errorf("%s is not a number; one such as 7.9 is expected", shorten(m.Value))
	}
	if err := units.Check(e.Quantity, e.Value, e.Unit); err != nil {
		return e, err
	}
	if m.Doubt != "" {
		if e.SD, err = positive(m.Doubt); err != nil {
			return e, fmt.Errorf("the doubt: %w", err)
		}
	}
	if m.Sample == nil || m.Sample.Value == "" || !sampleMatters(e.Unit) {
		return e, nil
	}
	c, err := m.Sample.celsius()
	if err != nil {
		return e, fmt.Errorf("the sample's temperature: %w", err)
	}
	e.SampleTempC = &c
	return e, nil
}

// positive reads a figure above zero.
func positive(typed string) (float64, error) {
	text, err := figure(typed)
	if err != nil {
		return 0, err
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0) {
		return 0, fmt.Errorf("%s is not possible here; a figure above 0 is expected", shorten(typed))
	}
	return v, nil
}

func (a sampleAsk) celsius() (float64, error) {
	text, err := figure(a.Value)
	if err != nil {
		return 0, err
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, err
	}
	if err := units.Check(units.Temperature, v, a.unit()); err != nil {
		return 0, err
	}
	return units.Convert(units.Temperature, v, a.unit(), units.Temperature.Default())
}

// problems are the figures that could not be used, each with where it stands.
func (w *benchWater) problems() []benchProblem {
	var all []benchProblem
	note := func(m *measure) {
		if m.Problem != "" {
			all = append(all, benchProblem{DOM: m.DOM, Name: w.Name + ", " + m.Label, Words: sentence(m.Problem)})
		}
	}
	w.all(note)
	note(&w.Air)
	return all
}

// benchProblem is a figure that could not be used.
type benchProblem struct{ DOM, Name, Words string }
