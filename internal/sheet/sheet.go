package sheet

import (
	"bufio"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Form is what a table may hold.
type Form struct {
	Needed   []string // columns there must be
	May      []string // columns there may be
	MostRows int
}

func (f Form) words() string {
	text := strings.Join(f.Needed, ",")
	if len(f.May) > 0 {
		text += " and, if you like, " + strings.Join(f.May, ", ")
	}
	return text
}

// Table is read row by row.
type Table struct {
	form         Form
	rows         *csv.Reader
	place        map[string]int
	decimalComma bool
	read         int
}

// Row is one line of a table.
type Row struct {
	Line  int // of the file, from 1
	cells []string
	table *Table
}

// Open reads the header.
func Open(in io.Reader, form Form) (*Table, error) {
	buffered := bufio.NewReaderSize(in, 1<<16)
	separator, err := separatorOf(buffered, form)
	if err != nil {
		return nil, err
	}
	t := &Table{form: form, rows: csv.NewReader(buffered), place: map[string]int{}, decimalComma: separator != ','}
	t.rows.Comma = separator
	t.rows.TrimLeadingSpace = true
	head, err := t.rows.Read()
	if err != nil {
		return nil, fmt.Errorf("header: %w", err)
	}
	for i, name := range head {
		name = strings.ToLower(strings.TrimSpace(strings.TrimPrefix(name, "\ufeff")))
		if !slices.Contains(form.Needed, name) && !slices.Contains(form.May, name) {
			return nil, fmt.Errorf("the column %q is not known; expected %s", name, form.words())
		}
		t.place[name] = i
	}
	for _, name := range form.Needed {
		if _, ok := t.place[name]; !ok {
			return nil, fmt.Errorf("the header lacks the column %s; expected %s", name, form.words())
		}
	}
	return t, nil
}

// separatorOf looks at the header without taking it.
func separatorOf(r *bufio.Reader, form Form) (rune, error) {
	start, err := r.Peek(4096)
	if err != nil && !errors.Is(err, io.EOF) {
		return 0, err
	}
	first, _, _ := strings.Cut(string(start), "\n")
	if strings.TrimSpace(strings.TrimPrefix(first, "\ufeff")) == "" {
		return 0, fmt.Errorf("the table is empty; expected a header such as %s", strings.Join(slices.Concat(form.Needed, form.May[:min(len(form.May), 1)]), ","))
	}
	for _, c := range []rune{';', '\t'} {
		if strings.ContainsRune(first, c) {
			return c, nil
		}
	}
	return ',', nil
}

// Next is the next row; io.EOF after the last. Other errors name the line.
func (t *Table) Next() (Row, error) {
	cells, err := t.rows.Read()
	if errors.Is(err, io.EOF) {
		return Row{}, io.EOF
	}
	t.read++
	if err != nil {
		return Row{}, fmt.Errorf("line %d: %w", t.read+1, err)
	}
	if t.read > t.form.MostRows {
		return Row{}, fmt.Errorf("line %d: expected at most %d rows", t.read+1, t.form.MostRows)
	}
	line, _ := t.rows.FieldPos(0)
	return Row{Line: line, cells: cells, table: t}, nil
}

// Cell is the text of a column, empty where there is none.
func (r Row) Cell(name string) string {
	i, ok := r.table.place[name]
	if !ok || i >= len(r.cells) {
		return ""
	}
	return strings.TrimSpace(r.cells[i])
}

// Number is the figure of a column.
func (r Row) Number(name string) (float64, error) {
	text := r.Cell(name)
	plain := text
	if r.table.decimalComma {
		plain = strings.Replace(text, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(plain, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > 1e15 {
		return 0, fmt.Errorf("%s %q: expected a number", name, text)
	}
	return v, nil
}
