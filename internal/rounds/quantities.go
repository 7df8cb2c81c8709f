package rounds

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// A quantity counts as tested regularly from so many readings; its testing has
// lapsed when the last one is older than so many usual intervals.
const (
	regularReadings = 4
	lapseIntervals  = 3
)

// matters are the reasons why one quantity is on the rounds.
type matters struct {
	q       standing.Quantity
	today   day
	state   bool // outside or leaving
	misread *standing.Reading
	test    bool // due by risk
	lapsed  bool
	routine *standing.Due // a hand routine to test it, due
}

// quantityRow merges all a quantity asks for into one row. due is false when
// nothing is asked today; the row then says when its next test falls due.
func quantityRow(q standing.Quantity, today day, routine *standing.Due) (row Row, due bool) {
	m := matters{q: q, today: today}
	m.misread = freshMisread(q)
	m.test = q.NextTest.On.Before(today.end) && wanted(q)
	m.state = q.State == standing.Outside || q.State == standing.NearEdge && (m.test || soon(q))
	m.lapsed = m.test && lapsed(q)
	if routine != nil && routine.Next.Before(today.end) {
		m.routine = routine
	}
	if !m.state && m.misread == nil && !m.test && m.routine == nil {
		return m.upcoming(routine)
	}
	return m.row(), true
}

// soon says whether a quantity near its edge deserves attention even though no
// test of it is due; the rest wait for their test.
func soon(q standing.Quantity) bool { return q.Leaves.P14 >= 0.5 || q.Leaves.PNow >= 0.2 }

// wanted leaves out what was tried a few times long ago: not this keeper's habit.
func wanted(q standing.Quantity) bool {
	longest := standing.IntervalOf(units.Quantity(q.Name)).LongestDays
	return q.Band.FromKeeper || len(q.Readings) >= regularReadings || q.AsOf.Sub(q.LastTest) < days(2*longest)
}

// freshMisread is the newest reading when it is likely wrong: a later one, or
// a fortnight, settles the matter.
func freshMisread(q standing.Quantity) *standing.Reading {
	if len(q.Readings) == 0 {
		return nil
	}
	r := &q.Readings[len(q.Readings)-1]
	if r.Misread >= 0.5 && q.AsOf.Sub(r.At) < days(14) {
		return r
	}
	return nil
}

// lapsed says whether testing was regular and has stopped.
func lapsed(q standing.Quantity) bool {
	usual, ok := usualInterval(q)
	longest := standing.IntervalOf(units.Quantity(q.Name)).LongestDays
	gap := q.AsOf.Sub(q.LastTest).Hours() / 24
	return ok && gap > max(lapseIntervals*usual, 1.5*longest)
}

// usualInterval is the middle one of the last gaps between test days.
func usualInterval(q standing.Quantity) (float64, bool) {
	if len(q.Readings) < regularReadings {
		return 0, false
	}
	var gaps []float64
	for i := len(q.Readings) - 1; i > 0 && len(gaps) < 10; i-- {
		if g := q.Readings[i].At.Sub(q.Readings[i-1].At).Hours() / 24; g > 0.2 {
			gaps = append(gaps, g)
		}
	}
	if len(gaps) == 0 {
		return 0, false
	}
	sort.Float64s(gaps)
	return gaps[len(gaps)/2], true
}

func (m *matters) kind() Kind {
	switch {
	case m.state && m.q.State == standing.Outside:
		return Outside
	case m.state:
		return Leaving
	case m.misread != nil:
		return Misread
	case m.lapsed:
		return Lapse
	case m.test:
		return TestDue
	case m.today.late(m.routine.Next) > missedAfter(m.routine.EveryDays):
		return RoutineMissed
	}
	return RoutineDue
}

func (m *matters) row() Row {
	q := m.q
	r := Row{Key: rowKey(q.Tank, "quantity", q.Name), Kind: m.kind(), Tank: q.Tank, Quantity: q.Name,
		Chance: q.Leaves.P14, Why: m.why(), Consequence: m.score()}
	r.Title = fmt.Sprintf("%s, %s: %s", prose.Capital(q.Name), q.Tank, m.word(r.Kind))
	switch r.Kind {
	case Outside:
		r.Chance = q.Leaves.PNow
	case Leaving:
		r.On = q.Leaves.EvenChanceBy
	case Misread:
		r.Chance = m.misread.Misread
	case RoutineDue, RoutineMissed:
		r.On = &m.routine.Next
	default:
		r.On = &q.NextTest.On
	}
	if m.misread != nil {
		r.Lines = []string{m.misread.Line}
	}
	r.Action = Action{Do: "look", Tank: q.Tank, Quantity: q.Name}
	if m.test || m.misread != nil || m.routine != nil {
		r.Action = m.read()
	}
	return r
}

// read is the form for a test, in the unit the keeper typed last.
func (m *matters) read() Action {
	a := Action{Do: "read", Tank: m.q.Tank, Quantity: m.q.Name, Unit: m.q.Unit}
	var latest time.Time
	for _, k := range m.q.Kits {
		if k.Latest.After(latest) {
			latest, a.Unit = k.Latest, k.Unit
		}
	}
	if m.routine != nil {
		a.Routine = m.routine.Routine.Name
	}
	return a
}

func (m *matters) score() float64 {
	longest := standing.IntervalOf(units.Quantity(m.q.Name)).LongestDays
	score := 0.0
	if m.state {
		score = stateScore(m.q)
	}
	if m.misread != nil {
		score = max(score, misreadShare*m.misread.Misread*seriousness(m.q.Name, ""))
	}
	if m.test {
		score = max(score, testScore(m.q, m.today.late(m.q.NextTest.On), longest))
	}
	if m.routine != nil && score == 0 {
		late := m.today.late(m.routine.Next)
		score = workScore(m.kind(), late, m.routine.EveryDays) * seriousness(m.q.Name, "")
	}
	return score
}

func (m *matters) word(k Kind) string {
	switch k {
	case Outside:
		return strings.TrimSpace("outside its band, " + m.q.Leaves.Side)
	case Leaving:
		return string(standing.NearEdge)
	case Misread:
		return "a reading to repeat"
	case Lapse:
		return "not tested for " + daysWords(m.q.AsOf.Sub(m.q.LastTest))
	case TestDue:
		return "test due"
	case RoutineMissed:
		return "test missed"
	}
	return "test planned for today"
}

// why joins the reasons into one line.
func (m *matters) why() string {
	var parts []string
	if m.state {
		parts = append(parts, m.stateWhy())
	}
	if m.misread != nil {
		parts = append(parts, m.misreadWhy())
	}
	if m.lapsed {
		parts = append(parts, m.lapseWhy())
	} else if m.test && m.misread == nil {
		parts = append(parts, m.testWhy())
	}
	if m.routine != nil && !m.test {
		parts = append(parts, fmt.Sprintf("planned every %s; by risk not needed before %s",
			EveryWords(m.routine.EveryDays), dateWords(m.q.NextTest.On, m.today.loc)))
	}
	return sentenceOf(parts)
}

// testWhy leaves out of a merged row what its other reason has said.
func (m *matters) testWhy() string {
	why := m.q.NextTest.Why
	if _, after, ok := strings.Cut(why, "): "); ok && m.state { // "very likely outside (about 97 %): test until it is back"
		return after
	}
	return "test due: " + why
}

func (m *matters) stateWhy() string {
	q := m.q
	level := units.FormatPM(units.Quantity(q.Name), q.Level.Mean, q.Level.SD, q.Unit)
	chance := q.Leaves.Words(func(t time.Time) string { return dateWords(t, m.today.loc) })
	return level + "; " + chance + ". " + strings.TrimSuffix(q.Why, ".")
}

func (m *matters) misreadWhy() string {
	r, q := m.misread, units.Quantity(m.q.Name)
	return fmt.Sprintf("the reading of %s on %s looks like a misread (%s), %s was expected: repeat it before acting",
		units.Format(q, r.Value, m.q.Unit), dateWords(r.At, m.today.loc), standing.ChanceFigure(r.Misread),
		units.FormatPM(q, r.Expected.Mean, r.Expected.SD, m.q.Unit))
}

func (m *matters) lapseWhy() string {
	usual, _ := usualInterval(m.q)
	return fmt.Sprintf("tested about every %s until %s; one test is a fresh start", EveryWords(usual), dateWords(m.q.LastTest, m.today.loc))
}

// upcoming is the row that says when the next test falls due, by risk or by routine.
func (m *matters) upcoming(routine *standing.Due) (Row, bool) {
	if !wanted(m.q) && routine == nil {
		return Row{}, false
	}
	on, why := m.q.NextTest.On, m.q.NextTest.Why
	kind := TestDue
	if routine != nil && routine.Next.Before(on) {
		on, why, kind = routine.Next, "planned every "+EveryWords(routine.EveryDays), RoutineDue
		m.routine = routine
	}
	return Row{Key: rowKey(m.q.Tank, "quantity", m.q.Name), Kind: kind, Tank: m.q.Tank, Quantity: m.q.Name,
		Title: fmt.Sprintf("%s, %s: test", prose.Capital(m.q.Name), m.q.Tank), Why: sentenceOf([]string{why}),
		Chance: m.q.Leaves.P7, On: &on, Action: m.read()}, false
}

// gatherLapses turns the lapsed tests of a tank into one row when they are
// many: it asks for the two that matter most and only names the rest.
func gatherLapses(rows []Row, tank string) []Row {
	var kept, lapses []Row
	for _, r := range rows {
		if r.Kind == Lapse {
			lapses = append(lapses, r)
		} else {
			kept = append(kept, r)
		}
	}
	if len(lapses) < 3 {
		return rows
	}
	sort.SliceStable(lapses, func(i, j int) bool { return lapses[i].Consequence > lapses[j].Consequence })
	var rest []string
	for _, r := range lapses[2:] {
		rest = append(rest, r.Quantity)
	}
	one := lapses[0]
	one.Key = rowKey(tank, "lapse", "tests")
	one.Title = fmt.Sprintf("%s: testing has lapsed", prose.Capital(tank))
	one.Why = sentenceOf([]string{fmt.Sprintf("begin with %s and %s; %s can wait for another day",
		lapses[0].Quantity, lapses[1].Quantity, listWords(rest))})
	return append(kept, one)
}

func rowKey(tank, what, name string) string {
	return book.Key(tank) + "|" + what + "|" + book.Key(name)
}
