package trial

import (
	"fmt"
	"time"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/stoprule"
)

// Draft is a trial as a person writes it down.
type Draft struct {
	Name, Question, Change string
	On                     []book.Phase // one at least; the first says when the change comes
	Ends                   time.Time    // zero for eight weeks
	AlsoIn, Comparison     []string
	RampDays, SettleDays   book.Number
	Outcomes               []string // in the short form of ParseOutcome
	StopWhen               []string // in the short form of stop rules
	// DrawUntil is the last day the start may fall on, where a lot decides; the first
	// is that of On. Drawn tells by how many days the lot moved it.
	DrawUntil time.Time
	Drawn     int
}

// usualWeeks is how long a trial lasts when nothing is said; a judgement.
const usualWeeks = 8

// Trial turns a draft into what the log holds. It fails with one sentence.
func (d Draft) Trial() (*book.Trial, error) {
	if len(d.On) == 0 || d.On[0].From == nil {
		return nil, fmt.Errorf("the trial does not say when the change comes: expected a day")
	}
	b := &book.Trial{Name: d.Name, Question: d.Question, Change: d.Change, On: d.On, AlsoIn: d.AlsoIn, Comparison: d.Comparison,
		RampDays: d.RampDays, SettleDays: d.SettleDays}
	for _, text := range d.Outcomes {
		o, err := ParseOutcome(text)
		if err != nil {
			return nil, err
		}
		b.Outcomes = append(b.Outcomes, o)
	}
	for _, text := range d.StopWhen {
		r, err := stoprule.Parse(text)
		if err != nil {
			return nil, err
		}
		b.StopWhen = append(b.StopWhen, r.Line())
	}
	ends := d.Ends
	if ends.IsZero() {
		ends = d.On[len(d.On)-1].From.AddDate(0, 0, 7*usualWeeks)
	}
	if !d.DrawUntil.IsZero() {
		if err := d.lot(b, &ends); err != nil {
			return nil, err
		}
	}
	b.Ends = &ends
	return b, nil
}

// Starts is how many days the lot is drawn from.
func (d Draft) Starts() (int, error) {
	if len(d.On) != 1 {
		return 0, fmt.Errorf("a lot draws one start: expected a change that comes once")
	}
	starts, err := effect.DailyStarts(*d.On[0].From, d.DrawUntil, *d.On[0].From)
	if err == nil && len(starts) < 2 {
		err = fmt.Errorf("the lot has one day to draw from: expected a last day after the first")
	}
	return len(starts), err
}

// lot moves the start, and with it the end.
func (d Draft) lot(b *book.Trial, ends *time.Time) error {
	n, err := d.Starts()
	if err != nil {
		return err
	}
	if d.Drawn < 0 || d.Drawn >= n {
		return fmt.Errorf("the lot fell on day %d of %d", d.Drawn+1, n)
	}
	first, last := *d.On[0].From, d.DrawUntil
	p := d.On[0]
	from := first.AddDate(0, 0, d.Drawn)
	p.From = &from
	if p.Until != nil {
		until := p.Until.AddDate(0, 0, d.Drawn)
		p.Until = &until
	}
	b.On, b.DrawnFrom, b.DrawnUntil = []book.Phase{p}, &first, &last
	*ends = ends.AddDate(0, 0, d.Drawn)
	return nil
}
