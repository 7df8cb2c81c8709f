package trialsheet

import (
	"encoding/csv"
	"io"
	"strconv"
	"time"

	"driftline/internal/effect"
)

// Write writes the figures of a question as a table that Read takes, so that
// another can judge them.
func Write(out io.Writer, a effect.Ask) error {
	w := csv.NewWriter(out)
	if err := w.Write([]string{"time", "value", "group", "open", "known"}); err != nil {
		return err
	}
	for _, side := range []struct {
		group  string
		points []effect.Point
	}{{"treated", a.Treated}, {"comparison", a.Comparison}} {
		for _, p := range side.points {
			open, known := "", ""
			if p.Open {
				open = "yes"
			}
			if p.Known != 0 {
				known = figure(p.Known)
			}
			if err := w.Write([]string{p.At.Format(time.RFC3339), figure(p.Value), side.group, open, known}); err != nil {
				return err
			}
		}
	}
	w.Flush()
	return w.Error()
}

func figure(v float64) string { return strconv.FormatFloat(v, 'g', 12, 64) }
