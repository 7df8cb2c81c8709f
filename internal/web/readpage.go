package web

import (
	"net/http"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/units"
)

// readView is the page used at the tank: the tests that are due, one figure each.
type readView struct {
	frame
	Tank, TankHref string
	Action         string
	Lead           string
	Date, Clock    string
	ZoneHint       string
	TimeError      string
	Due, Others    []readRow
	OthersOpen     bool
	Error          string
	Doubt          bool // some value is far from expected and not yet confirmed
}

// readRow is one quantity to be read.
type readRow struct {
	Quantity, Slug  string
	ID              string // of the line to come
	Value           string
	Units, Kits     []option
	KitUnits        string // JSON: the unit each kit was last read in
	Expect          string // JSON: what is expected, by unit
	Why, Last       string
	Below, Sure     bool
	Sample          *sampleAsk // for a quantity whose figure hangs on the sample's temperature
	Error, Far      string
	NewKit          string
	never           bool
	first           bool
	nextOn          time.Time
	expected        standing.Estimate
	expectedUnit    string
	kitChosen, unit string
}

var readScreen = screen[readView]{"read.html"}

func (s *Server) readChoose(w http.ResponseWriter, r *http.Request) error {
	return s.chooseTank(w, r, "Enter readings", "read", "Which tank are you at?", readPath)
}

func (s *Server) read(w http.ResponseWriter, r *http.Request) error {
	f := s.facts()
	t, err := s.tankOf(r, f)
	if err != nil {
		return err
	}
	rows, err := s.readRows(f, t, r.URL.Query().Get("quantity"))
	if err != nil {
		return err
	}
	return s.showRead(w, r, http.StatusOK, t, rows, nil)
}

func (s *Server) showRead(w http.ResponseWriter, r *http.Request, status int, t *book.TankFacts, rows []readRow, values map[string]string) error {
	now, name := s.Now().In(t.Location), t.Tank.Name
	v := readView{frame: s.frame(r, "Readings, "+name, "read"), Tank: name, TankHref: tankPath(name), Action: readPath(name),
		Date: now.Format("2006-01-02"), Clock: now.Format("15:04"), ZoneHint: zoneHint(now)}
	setIf(&v.Date, values, "at.date")
	setIf(&v.Clock, values, "at.time")
	v.TimeError, v.Error = values["error.at"], values["error"]
	for _, row := range rows {
		v.Doubt = v.Doubt || row.Far != ""
		open := row.Value != "" || row.Error != ""
		if row.first || isDue(row, now) || open {
			v.Due = append(v.Due, row)
		} else {
			v.Others = append(v.Others, row)
		}
	}
	v.OthersOpen = len(v.Due) == 0
	v.Lead = readLead(v.Due, v.Others, now)
	return readScreen.show(s, w, status, v)
}

func isDue(row readRow, now time.Time) bool {
	return !row.never && !row.nextOn.IsZero() && daysBetween(now, row.nextOn.In(now.Location())) <= 0
}

func readLead(due, others []readRow, now time.Time) string {
	if len(due) > 0 {
		return ""
	}
	var next time.Time
	for _, row := range others {
		if !row.never && !row.nextOn.IsZero() && (next.IsZero() || row.nextOn.Before(next)) {
			next = row.nextOn
		}
	}
	if next.IsZero() {
		return "No test has been made yet. Any figure is a start."
	}
	return "No test is due before " + dayWord(next, now) + "."
}

// readRows are the quantities of the tank, the one asked for first, then by
// when they are due, then those never tested.
func (s *Server) readRows(f *book.Facts, t *book.TankFacts, first string) ([]readRow, error) {
	all, err := s.Desk.Tank(f, t.Tank.Name, f.AsOf, pictureDays)
	if err != nil {
		return nil, err
	}
	now := s.Now()
	seen := map[string]bool{}
	var rows []readRow
	for _, q := range all {
		seen[q.Name] = true
		rows = append(rows, s.readRow(f, t, inShownUnit(f, q), now))
	}
	for _, q := range units.Quantities() {
		if !seen[string(q)] {
			rows = append(rows, s.readRow(f, t, standing.Quantity{Tank: t.Tank.Name, Name: string(q), Unit: q.Default()}, now))
		}
	}
	for i := range rows {
		rows[i].first = same(rows[i].Quantity, first)
	}
	slices.SortStableFunc(rows, func(a, b readRow) int {
		return order(a.first, b.first, order(!a.never, !b.never, a.nextOn.Compare(b.nextOn)))
	})
	return rows, nil
}

// order puts what holds before what does not, else goes by the rest.
func order(a, b bool, rest int) int {
	switch {
	case a == b:
		return rest
	case a:
		return -1
	}
	return 1
}

func (s *Server) readRow(f *book.Facts, t *book.TankFacts, q standing.Quantity, now time.Time) readRow {
	row := readRow{Quantity: q.Name, Slug: slug(q.Name), ID: book.NewID(now), Why: q.NextTest.Why, nextOn: q.NextTest.On,
		never: len(q.Readings) == 0, NewKit: declarePath("instrument", "quantity", q.Name), Sample: sampleAskOf(t, q.Name)}
	if !row.never {
		row.Last = "last tested " + ago(q.LastTest, now.In(t.Location))
		row.expected, row.expectedUnit = standing.Expect(q, now), q.Unit
		row.Expect = expectJSON(q, row.expected)
	}
	kits, unitOfKit := kitsFor(f, t, q)
	row.Kits = append(options(kits...), option{Value: "", Label: "no kit named"})
	row.KitUnits = toJSON(unitOfKit)
	unit := q.Unit
	if len(kits) > 0 && unitOfKit[kits[0]] != "" {
		unit = unitOfKit[kits[0]]
	}
	row.setUnit(unit)
	if len(kits) > 0 {
		row.setKit(kits[0])
	} else {
		row.setKit("")
	}
	return row
}

func (r *readRow) setUnit(unit string) {
	u := field{Options: options(quantityUnits(r.Quantity)...), Input: "choice"}
	u.choose(unit)
	r.Units, r.unit = u.Options, unit
}

func (r *readRow) setKit(kit string) {
	r.kitChosen = kit
	for i := range r.Kits {
		r.Kits[i].Chosen = book.Key(r.Kits[i].Value) == book.Key(kit)
	}
}

// kitsFor lists the kits for a quantity, the one used last first, with the
// unit each was last read in.
func kitsFor(f *book.Facts, t *book.TankFacts, q standing.Quantity) ([]string, map[string]string) {
	unitOf := map[string]string{}
	var kits []string
	for i := len(t.Events) - 1; i >= 0; i-- {
		r, ok := t.Events[i].Body.(*book.Reading)
		if !ok || r.Instrument == "" || !same(r.Quantity, q.Name) || unitOf[book.Key(r.Instrument)] != "" {
			continue
		}
		unitOf[book.Key(r.Instrument)] = canonicalUnit(q.Name, r.Unit)
		kits = append(kits, r.Instrument)
	}
	for _, d := range f.Instruments {
		if same(d.Body.Quantity, q.Name) {
			kits = append(kits, d.Body.Name)
			if unitOf[book.Key(d.Body.Name)] == "" {
				unitOf[book.Key(d.Body.Name)] = canonicalUnit(q.Name, d.Body.Unit)
			}
		}
	}
	kits = distinct(kits)
	byName := map[string]string{}
	for _, k := range kits {
		byName[k] = unitOf[book.Key(k)]
	}
	return kits, byName
}

func canonicalUnit(quantity, unit string) string {
	q, err := units.ParseQuantity(quantity)
	if err != nil {
		return unit
	}
	u, err := units.ParseUnit(q, unit)
	if err != nil {
		return ""
	}
	return u
}

func slug(name string) string { return strings.ReplaceAll(strings.ToLower(name), " ", "-") }
