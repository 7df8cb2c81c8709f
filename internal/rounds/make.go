package rounds

import (
	"sort"
	"sync"
	"time"

	"driftline/internal/animals"
	"driftline/internal/book"
	"driftline/internal/standing"
	"driftline/internal/trial"
)

// horizonDays is how far the standings look.
const horizonDays = 30

// nextDays is how far ahead a sheet says what comes.
const nextDays = 7

// Make writes the sheet of a day over all tanks, with what comes within a week.
func Make(d *standing.Desk, f *book.Facts, on time.Time) (*Sheet, error) {
	return Ahead(d, f, on, nextDays)
}

// Ahead is Make with what comes within so many days, horizonDays at most.
func Ahead(d *standing.Desk, f *book.Facts, on time.Time, days int) (*Sheet, error) {
	parts := make([]part, len(f.Tanks))
	trials, beasts := trial.All(f, on), animals.Register(f, on)
	var wait sync.WaitGroup
	for i := range f.Tanks {
		wait.Go(func() { parts[i] = tankPart(d, f, &f.Tanks[i], trials, beasts, on, days) })
	}
	wait.Wait()
	sheet := &Sheet{On: on, Rows: []Row{}}
	var quiet []string
	for _, p := range parts {
		if p.err != nil {
			return nil, p.err
		}
		sheet.Rows = append(sheet.Rows, p.rows...)
		sheet.Next = append(sheet.Next, p.next...)
		if len(p.rows) == 0 {
			quiet = append(quiet, p.tank)
		}
	}
	shelf, err := shelfRows(f, on)
	if err != nil {
		return nil, err
	}
	sheet.Rows = append(sheet.Rows, shelf...)
	sort.SliceStable(sheet.Rows, func(i, j int) bool { return sheet.Rows[i].Consequence > sheet.Rows[j].Consequence })
	sort.SliceStable(sheet.Next, func(i, j int) bool { return sheet.Next[i].On.Before(*sheet.Next[j].On) })
	sheet.Quiet = quietWords(sheet, quiet, len(f.Tanks), days, zones(f))
	return sheet, nil
}

func zones(f *book.Facts) map[string]*time.Location {
	out := map[string]*time.Location{}
	for i := range f.Tanks {
		out[f.Tanks[i].Tank.Name] = zone(&f.Tanks[i])
	}
	return out
}

// part is one tank's share of a sheet.
type part struct {
	tank string
	rows []Row
	next []Row
	err  error
}

// day is the day a sheet is written for, in the tank's zone.
type day struct {
	on, end, next time.Time // now, the end of today, the end of what comes next
	loc           *time.Location
}

func dayAt(on time.Time, loc *time.Location, days int) day {
	y, m, d := on.In(loc).Date()
	end := time.Date(y, m, d+1, 0, 0, 0, 0, loc)
	return day{on: on, end: end, next: end.AddDate(0, 0, min(days, horizonDays)), loc: loc}
}

func (d day) late(due time.Time) float64 { return d.on.Sub(due).Hours() / 24 }

func zone(t *book.TankFacts) *time.Location {
	if t.Location == nil {
		return time.UTC
	}
	return t.Location
}

func tankPart(d *standing.Desk, f *book.Facts, t *book.TankFacts, trials []trial.Trial, beasts []*animals.Animal, on time.Time, days int) part {
	p := part{tank: t.Tank.Name}
	qs, err := d.Tank(f, t.Tank.Name, on, horizonDays)
	if err != nil {
		p.err = err
		return p
	}
	today := dayAt(on, zone(t), days)
	work := handWork(t, on)
	for _, q := range qs {
		row, due := quantityRow(q, today, work.tests[q.Name])
		row.Also = Remedies(f, t, q)
		switch {
		case due:
			p.rows = append(p.rows, row)
		case row.On != nil && row.On.Before(today.next):
			p.next = append(p.next, row)
		}
	}
	p.rows = gatherLapses(p.rows, t.Tank.Name)
	rows, next := workRows(f, t, work.others, today)
	p.rows, p.next = append(p.rows, rows...), append(p.next, next...)
	p.rows = append(p.rows, habitRows(t, today)...)
	for _, plans := range []func(*book.Facts, *book.TankFacts, day) (rows, next []Row, err error){correctionRows, courseRows} {
		rows, next, err := plans(f, t, today)
		if err != nil {
			p.err = err
			return p
		}
		p.rows, p.next = append(p.rows, rows...), append(p.next, next...)
	}
	p.rows = append(p.rows, upkeepRows(t, today)...)
	p.rows = append(p.rows, animalRows(d, f, t, beasts, today)...)
	rows, next = trialRows(f, t, trials, today, p.rows, p.next)
	p.rows, p.next = append(p.rows, rows...), append(p.next, next...)
	return p
}
