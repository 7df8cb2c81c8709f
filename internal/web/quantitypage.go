package web

import (
	"fmt"
	"html/template"
	"net/http"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/chart"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/internal/substance"
	"driftline/units"
)

// quantityView is one quantity in full: picture, ledger, kits, readings.
type quantityView struct {
	frame
	Tank, TankHref string
	Row            quantityRow
	Name           string
	Band, BandEdit string
	Correct        string // where a correction of it is worked out
	PHAndAir       string // only on the page of pH
	Figure         template.HTML
	HandsOff       string
	Unit           string
	Next, NextWhy  string
	Last           string
	Ledger         ledgerView
	Kits           []kitRow
	Readings       []readingRow
	Older          string // address with all readings
	Count          int
	Problem        string
}

// ledgerView says where a change came from.
type ledgerView struct {
	Offered     bool
	Since, Till string
	Spans       []link
	Sentence    string
	From, To    string
	FromDay     string
	ToDay       string
	Rows        []ledgerRow
	HasGrams    bool
	Drawing     template.HTML
	Problem     string
	Action      string
}

// ledgerRow is one source of change.
type ledgerRow struct{ Name, Detail, Change, Grams string }

// kitRow is how an instrument errs in this tank.
type kitRow struct{ Name, Bias, Scatter, Last string }

// readingRow is one test result.
type readingRow struct {
	When, Value, Kit, Expected, Misread, Href string
}

var quantityScreen = screen[quantityView]{"quantity.html"}

const readingsShown = 20

// standingOf is the standing of the quantity a page's address names.
func (s *Server) standingOf(r *http.Request, f *book.Facts) (*book.TankFacts, standing.Quantity, error) {
	t, err := s.tankOf(r, f)
	if err != nil {
		return nil, standing.Quantity{}, err
	}
	name, err := units.ParseQuantity(r.PathValue("quantity"))
	if err != nil {
		return nil, standing.Quantity{}, missing(prose.Capital(err.Error()) + ".")
	}
	q, err := s.Desk.Quantity(f, t.Tank.Name, string(name), f.AsOf, pictureDays)
	if err != nil {
		return nil, q, err
	}
	return t, inShownUnit(f, q), nil
}

func (s *Server) quantity(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, q, err := s.standingOf(r, f)
	if err != nil {
		return err
	}
	now, tank := s.Now().In(t.Location), t.Tank.Name
	v := quantityView{frame: s.frame(r, prose.Capital(q.Name)+", "+tank, "rounds").withChart(s), Tank: tank, TankHref: tankPath(tank),
		Row: rowFor(q, t, now), Name: q.Name, Unit: q.Unit, Band: bandWords(q), NextWhy: q.NextTest.Why, Count: len(q.Readings),
		Last:     ago(q.LastTest, now),
		BandEdit: declarePath("band", "tank", tank, "quantity", q.Name)}
	if len(q.Readings) > 0 {
		v.Next = strings.TrimPrefix(v.Row.Next, "next test ")
	}
	p, err := spanAsked(chart.FromQuantity(q, t.Location), r.URL.Query())
	if err != nil {
		v.Problem = prose.Capital(err.Error()) + "."
	}
	if len(q.Readings) > 0 {
		v.Figure = chart.Figure(p, place(q))
	}
	if q.Name == string(units.PH) {
		v.PHAndAir = phAirPath(tank)
	}
	if len(substance.Usual(units.Quantity(q.Name))) > 0 && q.Name != string(units.Salinity) && len(q.Readings) > 0 {
		v.Correct = correctPath(tank, q.Name)
	}
	v.HandsOff = handsOffWords(q)
	v.Kits = kitRows(q, now)
	all := r.URL.Query().Get("readings") == "all"
	v.Readings = readingRows(q, now, all)
	if !all && len(q.Readings) > readingsShown {
		v.Older = r.URL.Path + "?readings=all#readings"
	}
	if !q.Simple && len(q.Readings) > 0 {
		v.Ledger = s.ledgerFor(r, f, t, q, now)
	}
	return quantityScreen.show(s, w, http.StatusOK, v)
}

// drawing answers the picture's script with the same picture for another span.
func (s *Server) drawing(w http.ResponseWriter, r *http.Request) error {
	_, q, err := s.standingOf(r, s.facts())
	if err != nil {
		return err
	}
	p, err := spanAsked(chart.FromQuantity(q, zoneOf(s.facts(), q.Tank)), r.URL.Query())
	if err != nil {
		return &refusal{http.StatusBadRequest, prose.Capital(err.Error()) + "."}
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Header().Set("Cache-Control", "no-store")
	_, _ = w.Write([]byte(chart.Inner(p, place(q)))) // the browser may have gone
	return nil
}

// handsOffWords say what happens if nobody does the hand work.
func handsOffWords(q standing.Quantity) string {
	if len(q.HandsOff) == 0 || len(q.Forecast) != len(q.HandsOff) {
		return ""
	}
	i := min(14, len(q.HandsOff)-1)
	with, without := q.Forecast[i], q.HandsOff[i]
	if diff := with.Mean - without.Mean; diff < with.SD/4 && -diff < with.SD/4 {
		return ""
	}
	return fmt.Sprintf("With all hand work stopped, in %d days: %s, %s to be outside its band.", i,
		pm(q, standing.Estimate{Mean: without.Mean, SD: without.SD}), standing.ChanceWords(without.POutside))
}

func kitRows(q standing.Quantity, now time.Time) []kitRow {
	var rows []kitRow
	for _, k := range q.Kits {
		name := k.Name
		if name == "" {
			name = "no kit named"
		}
		rows = append(rows, kitRow{name, biasWords(q, k), scatterWords(q, k), ago(k.Latest, now)})
	}
	return rows
}

// biasWords: "reads 0.4 ± 0.2 dKH too high", or that it cannot be told.
func biasWords(q standing.Quantity, k standing.Kit) string {
	b := k.Bias
	switch {
	case b.Mean > b.SD:
		return "reads about " + pm(q, b) + " too high"
	case -b.Mean > b.SD:
		b.Mean = -b.Mean
		return "reads about " + pm(q, b) + " too low"
	}
	return "no bias to be seen (" + minus(pm(q, b)) + ")"
}

// scatterWords: "± 0.2 dKH" when the same water is tested again.
func scatterWords(q standing.Quantity, k standing.Kit) string {
	if k.SD <= 0 {
		return "not known"
	}
	_, doubt, _ := strings.Cut(units.FormatPM(units.Quantity(q.Name), 0, k.SD, q.Unit), "±")
	return "±" + doubt
}

func readingRows(q standing.Quantity, now time.Time, all bool) []readingRow {
	var rows []readingRow
	for i := len(q.Readings) - 1; i >= 0 && (all || len(rows) < readingsShown); i-- {
		r := q.Readings[i]
		row := readingRow{When: dayTable(r.At.In(now.Location()), now) + ", " + r.At.In(now.Location()).Format("15:04"),
			Value: bare(q, units.Format(units.Quantity(q.Name), r.Value, q.Unit)), Kit: r.Instrument, Expected: bare(q, pm(q, r.Expected)), Href: linePath(r.Line)}
		if r.Below {
			row.Value = "below " + row.Value
		}
		if r.Misread >= likelyMisread {
			row.Misread = "likely a misread (" + standing.ChanceFigure(r.Misread) + ")"
		} else if r.Misread >= 0.2 {
			row.Misread = "may be a misread"
		}
		rows = append(rows, row)
	}
	return rows
}

// bare takes the unit off, where the head of a table says it.
func bare(q standing.Quantity, s string) string { return strings.TrimSuffix(s, " "+q.Unit) }

// ledgerFor is the ledger of the span asked for, the last 30 days without one.
func (s *Server) ledgerFor(r *http.Request, f *book.Facts, t *book.TankFacts, q standing.Quantity, now time.Time) ledgerView {
	ask := r.URL.Query()
	if len(q.Readings) < 2 {
		return ledgerView{Offered: true, Sentence: "The ledger begins with the second reading."}
	}
	v := ledgerView{Offered: true, Action: r.URL.Path, Since: ask.Get("since"), Till: ask.Get("till")}
	for _, days := range []int{7, 30, 90, 365} {
		since := now.AddDate(0, 0, -days).Format("2006-01-02")
		v.Spans = append(v.Spans, link{fmt.Sprintf("%d days", days), r.URL.Path + "?since=" + since + "#ledger", since == v.Since && v.Till == ""})
	}
	from, to, problem := spanOf(v.Since, v.Till, t.Location)
	if problem != "" {
		v.Problem = problem
		return v
	}
	if to.IsZero() || to.After(f.AsOf) {
		to = f.AsOf
	}
	if from.IsZero() {
		from = to.AddDate(0, 0, -30)
		v.Spans[1].Current = v.Till == ""
	}
	if !from.Before(to) {
		v.Problem = "The span must begin before " + dayWord(to, now) + "."
		return v
	}
	l, err := s.Desk.Ledger(f, t.Tank.Name, q.Name, from, to)
	if err != nil {
		s.Log.Info("no ledger", "tank", t.Tank.Name, "quantity", q.Name, "error", err)
		v.Problem = "There is no ledger for this span: " + err.Error() + "."
		return v
	}
	l = ledgerInShownUnit(f, l)
	v.fill(l, now)
	v.Drawing = chart.FromLedger(l, t.Location).Draw()
	return v
}

func (v *ledgerView) fill(l standing.Ledger, now time.Time) {
	q := standing.Quantity{Name: l.Quantity, Unit: l.Unit}
	v.Since, v.Till = l.Start.In(now.Location()).Format("2006-01-02"), l.End.In(now.Location()).Format("2006-01-02")
	v.Sentence, v.From, v.To = l.Sentence, pm(q, l.From), pm(q, l.To)
	v.FromDay, v.ToDay = dayWord(l.Start, now), dayWord(l.End, now)
	for _, e := range l.Entries {
		row := ledgerRow{Name: e.Name, Detail: e.Detail, Change: signed(pm(q, e.Change), e.Change.Mean)}
		if e.Count > 1 {
			row.Detail = join(row.Detail+",", count(e.Count), "times")
		}
		if e.Grams != nil {
			v.HasGrams = true
			row.Grams = signed(gramWords(*e.Grams), *e.Grams)
		}
		v.Rows = append(v.Rows, row)
	}
}

// signed writes a change with its sign, a true minus for what was taken.
func signed(s string, v float64) string {
	if figure, _, _ := strings.Cut(strings.TrimPrefix(s, "-"), " "); strings.Trim(figure, "0.") == "" {
		return strings.TrimPrefix(s, "-") // nothing has no sign
	}
	if v > 0 {
		return "+" + s
	}
	return minus(s)
}

func gramWords(g float64) string {
	a := g
	if a < 0 {
		a = -a
	}
	switch {
	case a >= 100:
		return fmt.Sprintf("%.0f g", g)
	case a >= 1:
		return fmt.Sprintf("%.1f g", g)
	}
	return fmt.Sprintf("%.3f g", g)
}
