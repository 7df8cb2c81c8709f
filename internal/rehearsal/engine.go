package rehearsal

import (
	"context"
	"fmt"
	"io"
	"time"

	"driftline/internal/book"
	"driftline/internal/standing"
)

// Engine forecasts as the program does under the declared routines.
func Engine() Forecaster { return engineOn(Declared) }

// engineOn forecasts under the routines, or with all hand work stopped.
func engineOn(c Course) Forecaster {
	return func(lines []book.Line, tank, quantity string, asOf time.Time, days int) (Forecast, error) {
		q, err := standing.NewDesk().Quantity(book.Replay(lines, asOf), tank, quantity, asOf, days)
		if err != nil {
			return Forecast{}, err
		}
		list := q.Forecast
		if c == HandsOff {
			list = q.HandsOff
		}
		out := Forecast{Unit: q.Unit}
		for _, d := range list {
			out.Days = append(out.Days, [7]float64{d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95})
		}
		return out, nil
	}
}

// EngineRule is the program's rule of the next test.
func EngineRule() Rule {
	return func(lines []book.Line, tank, quantity string, asOf time.Time) (time.Time, error) {
		q, err := standing.NewDesk().Quantity(book.Replay(lines, asOf), tank, quantity, asOf, 36)
		return q.NextTest.On, err
	}
}

// Run rehearses the program: it scores its forecasts, counts how it tells
// misreads, with o.Closed scores its rule of the next test too, and prints what
// it found.
func Run(ctx context.Context, o Options, w io.Writer) (Report, error) {
	report, err := Score(ctx, o, engineOn(o.Course), nil)
	if err != nil {
		return report, err
	}
	if err := report.Write(w); err != nil {
		return report, err
	}
	slips, err := FindSlips(ctx, o)
	if err != nil {
		return report, err
	}
	fmt.Fprintln(w)
	if err := writeSlips(w, slips); err != nil || o.Closed == 0 {
		return report, err
	}
	contest, err := Compare(ctx, o, EngineRule())
	if err != nil {
		return report, err
	}
	fmt.Fprintln(w)
	return report, contest.Write(w)
}
