package web

import (
	"encoding/json"
	"math"
	"net/http"
	"strconv"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// farSDs is how many standard deviations from expected a value may lie before
// it is asked about. The doubt of the kit is part of them.
const farSDs = 3

// expectation is what a reading would be expected to show, in one unit.
type expectation struct {
	Mean float64 `json:"m"`
	SD   float64 `json:"s"`
	Text string  `json:"t"`
}

// expectJSON tells the page's script what is expected in every unit, so that
// it can speak without a connection.
func expectJSON(q standing.Quantity, e standing.Estimate) string {
	all := map[string]expectation{}
	for _, unit := range quantityUnits(q.Name) {
		if x, ok := expectIn(q.Name, e, q.Unit, unit); ok {
			all[unit] = x
		}
	}
	return toJSON(all)
}

func expectIn(quantity string, e standing.Estimate, from, to string) (expectation, bool) {
	q := units.Quantity(quantity)
	mean, err := units.Convert(q, e.Mean, from, to)
	if err != nil {
		return expectation{}, false
	}
	sd, err := units.ConvertSD(q, e.Mean, e.SD, from, to)
	if err != nil || !(sd > 0) || math.IsInf(sd, 0) {
		return expectation{}, false
	}
	return expectation{mean, sd, units.FormatPM(q, mean, sd, to)}, true
}

func toJSON(v any) string {
	b, err := json.Marshal(v)
	if err != nil {
		return "{}"
	}
	return string(b)
}

// farWords ask for a second look at a value far from what was expected.
func (r readRow) farWords(l *book.Reading, unit string, below bool) string {
	v, err := strconv.ParseFloat(string(l.Value), 64)
	if err != nil || r.expected.SD <= 0 {
		return ""
	}
	if c, ok := sampleC(l); ok { // what the instrument would show where it is marked for
		if w, err := units.ConvertSample(units.Quantity(r.Quantity), v, unit, unit, c); err == nil {
			v = w
		}
	}
	x, ok := expectIn(r.Quantity, r.expected, r.expectedUnit, canonicalUnit(r.Quantity, unit))
	if !ok {
		return ""
	}
	gap := math.Abs(v - x.Mean)
	if below { // under the limit is far only when well more was expected
		gap = x.Mean - v
	}
	if gap <= farSDs*x.SD {
		return ""
	}
	return "Far from the " + x.Text + " expected: read it again before saving."
}

// readSave keeps all the figures of the page in one go, or none.
func (s *Server) readSave(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	rows, err := s.readRows(f, t, "")
	if err != nil {
		return err
	}
	lines, ids, good := s.takeReadings(t, rows, values)
	if good && len(ids) == 0 {
		values["error"], good = "No figure was entered. Nothing was stored.", false
	}
	if good && len(lines) > 0 {
		fm := &form{}
		if good, err = s.keep(r, fm, lines...); err != nil {
			return err
		}
		values["error"] = fm.Error
	}
	if !good {
		return s.showRead(w, r, http.StatusUnprocessableEntity, t, rows, values)
	}
	return back(w, r, tankPath(t.Tank.Name), ids...)
}

// takeReadings makes a line of every figure entered; what is wrong or far from
// expected is marked on its row.
func (s *Server) takeReadings(t *book.TankFacts, rows []readRow, values map[string]string) (lines []book.Line, ids []string, good bool) {
	good = true
	for i := range rows {
		row := &rows[i]
		if !row.refill(values) {
			continue
		}
		fm := &form{Fields: []field{{Name: "quantity", Input: "hidden"}, inUnits(field{Name: "value", Label: "Reading", Input: "figure"}, "unit", "", nil),
			{Name: "below", Input: "tick", Optional: true}, {Name: "instrument", Input: "text", Optional: true}, {Name: "at", Input: "moment"}}}
		one := map[string]string{"quantity": row.Quantity, "value": row.Value, "unit": row.unit, "instrument": row.kitChosen, "id": row.ID,
			"at.date": values["at.date"], "at.time": values["at.time"]}
		if row.Below {
			one["below"] = "true"
		}
		if row.Sample != nil && sampleMatters(row.unit) {
			fm.Fields = append(fm.Fields, sampleField(""))
			one["sample_temperature"], one["temperature_unit"] = row.Sample.Value, row.Sample.unit()
		}
		l, ok := tell(fm, book.KindReading, t.Tank.Name, one, t.Location)
		if ok {
			if err := book.ValidateAt(l, s.Now()); err != nil {
				fm.fault(err)
				ok = false
			}
		}
		if !ok {
			good = false
			row.mark(fm, values)
			continue
		}
		if far := row.farWords(l.Body.(*book.Reading), row.unit, row.Below); far != "" && !row.Sure {
			row.Far, good = far, false
			continue
		}
		l, again := s.sentAgain(l)
		ids = append(ids, l.ID)
		if !again {
			lines = append(lines, l)
		}
	}
	return lines, ids, good
}

// refill puts what was sent on the row and tells whether a figure was entered.
func (r *readRow) refill(values map[string]string) bool {
	at := "." + r.Slug
	setIf(&r.Value, values, "value"+at)
	setIf(&r.ID, values, "id"+at)
	if u, ok := values["unit"+at]; ok {
		r.setUnit(u)
	}
	if k, ok := values["kit"+at]; ok {
		r.setKit(k)
	}
	if r.Sample != nil {
		setIf(&r.Sample.Value, values, "sample"+at)
		if u, ok := values["sample-unit"+at]; ok {
			r.Sample.setUnit(u)
		}
	}
	r.Below, r.Sure = values["below"+at] != "", values["sure"+at] != ""
	return r.Value != ""
}

// mark takes the form's sentences over to the row, the time's to the page.
func (r *readRow) mark(fm *form, values map[string]string) {
	r.Error = fm.Error
	for _, f := range fm.Fields {
		if f.Error == "" {
			continue
		}
		if f.Name == "at" {
			values["error.at"] = f.Error
		} else {
			r.Error = join(r.Error, f.Error)
		}
	}
}

// sentAgain looks whether the line is in the book already: after a lost answer
// a page sends its figures again. A figure changed meanwhile is a correction.
func (s *Server) sentAgain(l book.Line) (book.Line, bool) {
	th := s.thread()
	if l.ID == "" || !s.known(l.ID) {
		return l, false
	}
	all := th.history(l.ID)
	last := all[len(all)-1]
	if describe(last) == describe(l) && last.At.Equal(l.At) {
		return last, true
	}
	l.Replaces, l.ID = last.ID, book.NewID(s.Now())
	return l, false
}
