package trialsheet

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"time"

	"driftline/internal/effect"
)

// Table is what was read.
type Table struct {
	Treated, Comparison []effect.Point
	Numbered            bool // times were days by number, from Zero
}

// Zero is day 0 of times given as numbers.
var Zero = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// most is the largest number of lines; far more than a trial has.
const most = 20000

// Read reads a table. Its errors name the line.
func Read(in io.Reader) (Table, error) {
	var t Table
	buffered := bufio.NewReaderSize(in, 1<<16)
	separator, err := separatorOf(buffered)
	if err != nil {
		return t, err
	}
	r := csv.NewReader(buffered)
	r.Comma = separator
	r.TrimLeadingSpace = true
	head, err := r.Read()
	if err != nil {
		return t, fmt.Errorf("header: %w", err)
	}
	s := sheet{place: map[string]int{}, decimalComma: separator != ','}
	for i, name := range head {
		s.place[strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))] = i
	}
	if err := s.header(); err != nil {
		return t, err
	}
	for n := 2; ; n++ {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return t, fmt.Errorf("line %d: %w", n, err)
		}
		if n > most {
			return t, fmt.Errorf("line %d: expected at most %d lines", n, most)
		}
		line, _ := r.FieldPos(0)
		if err := s.take(&t, cells); err != nil {
			return t, fmt.Errorf("line %d: %w", line, err)
		}
	}
	if len(t.Treated) == 0 {
		return t, errors.New("the table has no figure of the treated tank; expected lines such as 2026-03-14,8.2,treated")
	}
	return t, nil
}

// separatorOf looks at the header without taking it.
func separatorOf(r *bufio.Reader) (rune, error) {
	start, err := r.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	first, _, _ := strings.Cut(string(start), "\n")
	if strings.TrimSpace(first) == "" {
		return 0, errors.New("the table is empty; expected a header such as time,value,group")
	}
	for _, c := range []rune{';', '\t'} {
		if strings.ContainsRune(first, c) {
			return c, nil
		}
	}
	return ',', nil
}

type sheet struct {
	place        map[string]int
	decimalComma bool
	seen         bool
}

func (s *sheet) header() error {
	for _, name := range []string{"time", "value"} {
		if _, ok := s.place[name]; !ok {
			return fmt.Errorf("the header lacks the column %s; expected time,value and, if you like, group, open, known", name)
		}
	}
	for name := range s.place {
		switch name {
		case "time", "value", "group", "open", "known":
		default:
			return fmt.Errorf("the column %q is not known; expected time,value and, if you like, group, open, known", name)
		}
	}
	return nil
}

func (s *sheet) cell(cells []string, name string) string {
	i, ok := s.place[name]
	if !ok || i >= len(cells) {
		return ""
	}
	return strings.TrimSpace(cells[i])
}

func (s *sheet) take(t *Table, cells []string) error {
	var p effect.Point
	var err error
	if p.At, err = s.time(t, s.cell(cells, "time")); err != nil {
		return err
	}
	if p.Value, err = s.number("value", s.cell(cells, "value")); err != nil {
		return err
	}
	if text := s.cell(cells, "known"); text != "" {
		if p.Known, err = s.number("known", text); err != nil {
			return err
		}
	}
	switch text := strings.ToLower(s.cell(cells, "open")); text {
	case "", "no", "0", "false":
	case "yes", "1", "true":
		p.Open = true
	default:
		return fmt.Errorf("open %q: expected yes or no", text)
	}
	switch text := strings.ToLower(s.cell(cells, "group")); text {
	case "treated", "":
		t.Treated = append(t.Treated, p)
	case "comparison", "control":
		t.Comparison = append(t.Comparison, p)
	default:
		return fmt.Errorf("group %q: expected treated or comparison", text)
	}
	return nil
}

func (s *sheet) number(what, text string) (float64, error) {
	if s.decimalComma {
		text = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > 1e15 {
		return 0, fmt.Errorf("%s %q: expected a number", what, text)
	}
	return v, nil
}

// time reads a time; all of a table are dates, or all are days by number.
func (s *sheet) time(t *Table, text string) (time.Time, error) {
	at, numbered, err := ParseTime(text)
	if err != nil {
		return at, err
	}
	if s.seen && numbered != t.Numbered {
		return at, fmt.Errorf("time %q: expected the same kind as in the lines before, all dates or all numbers", text)
	}
	s.seen, t.Numbered = true, numbered
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
