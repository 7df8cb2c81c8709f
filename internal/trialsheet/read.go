package trialsheet

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"driftline/internal/effect"
	"driftline/internal/sheet"
)

// Table is what was read.
type Table struct {
	Treated, Comparison []effect.Point
	Numbered            bool // times were days by number, from Zero
	seen                bool
}

// Zero is day 0 of times given as numbers.
var Zero = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// form is the table's; its rows are far more than a trial has.
var form = sheet.Form{Needed: []string{"time", "value"}, May: []string{"group", "open", "known"}, MostRows: 20000}

// Read reads a table. Its errors name the line.
func Read(in io.Reader) (Table, error) {
	var t Table
	rows, err := sheet.Open(in, form)
	if err != nil {
		return t, err
	}
	for {
		row, err := rows.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return t, err
		}
		if err := t.take(row); err != nil {
			return t, fmt.Errorf("line %d: %w", row.Line, err)
		}
	}
	if len(t.Treated) == 0 {
		return t, errors.New("the table has no figure of the treated tank; expected lines such as 2026-03-14,8.2,treated")
	}
	return t, nil
}

func (t *Table) take(row sheet.Row) error {
	var p effect.Point
	var err error
	if p.At, err = t.time(row.Cell("time")); err != nil {
		return err
	}
	if p.Value, err = row.Number("value"); err != nil {
		return err
	}
	if row.Cell("known") != "" {
		if p.Known, err = row.Number("known"); err != nil {
			return err
		}
	}
	switch text := strings.ToLower(row.Cell("open")); text {
	case "", "no", "0", "false":
	case "yes", "1", "true":
		p.Open = true
	default:
		return fmt.Errorf("open %q: expected yes or no", text)
	}
	switch text := strings.ToLower(row.Cell("group")); text {
	case "treated", "":
		t.Treated = append(t.Treated, p)
	case "comparison", "control":
		t.Comparison = append(t.Comparison, p)
	default:
		return fmt.Errorf("group %q: expected treated or comparison", text)
	}
	return nil
}

// time reads a time; all of a table are dates, or all are days by number.
func (t *Table) time(text string) (time.Time, error) {
	at, numbered, err := ParseTime(text)
	if err != nil {
		return at, err
	}
	if t.seen && numbered != t.Numbered {
		return at, fmt.Errorf("time %q: expected the same kind as in the lines before, all dates or all numbers", text)
	}
	t.seen, t.Numbered = true, numbered
	return at, nil
}

// ParseTime reads a date, a moment (in UTC without an offset), or a day by number.
func ParseTime(text string) (at time.Time, numbered bool, err error) {
	for _, layout := range []string{"2006-01-02", time.RFC3339, "2006-01-02T15:04:05", "2006-01-02T15:04", "2006-01-02 15:04:05", "2006-01-02 15:04"} {
		if at, err := time.Parse(layout, text); err == nil {
			return at, false, nil
		}
	}
	if v, err := strconv.ParseFloat(text, 64); err == nil && math.Abs(v) < 1e5 {
		return Zero.Add(time.Duration(v * 24 * float64(time.Hour))), true, nil
	}
	return at, false, fmt.Errorf("time %q: expected such as 2026-03-14, 2026-03-14T08:30:00+01:00, or a day by number", text)
}
