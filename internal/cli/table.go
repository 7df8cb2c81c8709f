package cli

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// table prints rows in columns as wide as their longest cell. Columns named in
// right are set flush right, as figures are.
type table struct {
	head  []string
	right map[int]bool
	rows  [][]string
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

func (t *table) print(w io.Writer) error {
	widths := make([]int, len(t.head))
	all := append([][]string{t.head}, t.rows...)
	for _, row := range all {
		for c, cell := range row {
			widths[c] = max(widths[c], utf8.RuneCountInString(cell))
		}
	}
	for _, row := range all {
		if _, err := fmt.Fprintln(w, t.line(row, widths)); err != nil {
			return err
		}
	}
	return nil
}

func (t *table) line(row []string, widths []int) string {
	var b strings.Builder
	for c, cell := range row {
		gap := strings.Repeat(" ", widths[c]-utf8.RuneCountInString(cell))
		if t.right[c] {
			b.WriteString(gap + cell)
		} else {
			b.WriteString(cell + gap)
		}
		b.WriteString("  ")
	}
	return strings.TrimRight(b.String(), " ")
}
