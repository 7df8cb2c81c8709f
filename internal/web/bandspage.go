package web

import (
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// bandsView is the bands of a tank, all on one page.
type bandsView struct {
	frame
	Tank, TankHref string
	Action, ID     string
	Rows           []bandRow
	Error          string
}

// bandRow is the band of one quantity; Own is false for the usual one.
type bandRow struct {
	Quantity, Slug string
	Low, Aim, High string
	Units          []option
	Own            bool
	Error          string
	was            [4]string
}

var bandsScreen = screen[bandsView]{"bands.html"}

func (s *Server) bands(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	rows, err := s.bandRows(f, t)
	if err != nil {
		return err
	}
	return s.showBands(w, r, http.StatusOK, t, rows, "")
}

func (s *Server) showBands(w http.ResponseWriter, r *http.Request, status int, t *book.TankFacts, rows []bandRow, wrong string) error {
	n := t.Tank.Name
	v := bandsView{frame: s.frame(r, "Bands, "+n, "settings"), Tank: n, TankHref: tankPath(n), Action: bandsPath(n), Rows: rows, Error: wrong}
	return bandsScreen.show(s, w, status, v)
}

func (s *Server) bandRows(f *book.Facts, t *book.TankFacts) ([]bandRow, error) {
	all, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
	if err != nil {
		return nil, err
	}
	byName := map[string]standing.Quantity{}
	for _, q := range all {
		byName[q.Name] = q
	}
	var rows []bandRow
	for _, name := range quantityNames() {
		q, ok := byName[name]
		if !ok {
			if q, err = s.Desk.Quantity(f, t.Tank.Name, name, f.AsOf, pictureDays); err != nil {
				return nil, err
			}
		}
		rows = append(rows, bandRowOf(t, q))
	}
	slices.SortStableFunc(rows, func(a, b bandRow) int { return order(a.Own, b.Own, 0) })
	return rows, nil
}

// bandRowOf shows the keeper's own band as it was typed, the usual one rounded.
func bandRowOf(t *book.TankFacts, q standing.Quantity) bandRow {
	row := bandRow{Quantity: q.Name, Slug: slug(q.Name), Own: q.Band.FromKeeper}
	unit := q.Unit
	if b, ok := t.BandFor(q.Name); ok {
		row.Low, row.Aim, row.High, unit = string(b.Low), string(b.Aim), string(b.High), canonicalUnit(q.Name, b.Unit)
	} else {
		row.Low, row.Aim, row.High = limitText(q, q.Band.Low), limitText(q, q.Band.Aim), limitText(q, q.Band.High)
	}
	row.setUnit(unit)
	row.was = [4]string{row.Low, row.Aim, row.High, unit}
	return row
}

func (r *bandRow) setUnit(unit string) {
	u := field{Options: options(quantityUnits(r.Quantity)...), Input: "choice"}
	u.choose(unit)
	r.Units = u.Options
}

func limitText(q standing.Quantity, v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', units.Decimals(units.Quantity(q.Name), q.Unit), 64)
}

// bandsSave writes a line for every band that was changed.
func (s *Server) bandsSave(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	values, err := posted(r)
	if err != nil {
		return err
	}
	rows, err := s.bandRows(f, t)
	if err != nil {
		return err
	}
	lines, good := s.takeBands(t, rows, values)
	fm := &form{}
	if good && len(lines) > 0 {
		if good, err = s.keep(r, fm, lines...); err != nil {
			return err
		}
	}
	if !good {
		return s.showBands(w, r, http.StatusUnprocessableEntity, t, rows, fm.Error)
	}
	ids := make([]string, len(lines))
	for i := range lines {
		ids[i] = lines[i].ID
	}
	return back(w, r, bandsPath(t.Tank.Name), ids...)
}

func (s *Server) takeBands(t *book.TankFacts, rows []bandRow, values map[string]string) (lines []book.Line, good bool) {
	good = true
	now := s.Now().In(t.Location).Truncate(time.Second)
	for i := range rows {
		row := &rows[i]
		if !row.refill(values) {
			continue
		}
		fm := &form{Fields: bandFields(sheetContext{values: map[string]string{"quantity": row.Quantity}})}
		fm.Fields = append(fm.Fields, field{Name: "unit", Input: "text"}, field{Name: "at", Input: "moment"})
		one := map[string]string{"quantity": row.Quantity, "low": row.Low, "aim": row.Aim, "high": row.High, "unit": values["unit."+row.Slug],
			"at.date": now.Format("2006-01-02"), "at.time": now.Format("15:04:05")}
		l, ok := tell(fm, book.KindBand, t.Tank.Name, one, t.Location)
		if !ok {
			good, row.Error = false, fm.sentences()
			continue
		}
		lines = append(lines, withID(l, s.Now()))
	}
	return lines, good
}

// refill puts what was sent on the row and tells whether it was changed.
func (r *bandRow) refill(values map[string]string) bool {
	setIf(&r.Low, values, "low."+r.Slug)
	setIf(&r.Aim, values, "aim."+r.Slug)
	setIf(&r.High, values, "high."+r.Slug)
	unit := r.was[3]
	setIf(&unit, values, "unit."+r.Slug)
	r.setUnit(unit)
	return [4]string{r.Low, r.Aim, r.High, unit} != r.was
}

// sentences are all that is wrong with a form, as one.
func (f form) sentences() string {
	s := f.Error
	for _, x := range f.Fields {
		if x.Error != "" {
			s = join(s, fmt.Sprintf("%s: %s.", x.Label, x.Error))
		}
	}
	return s
}
