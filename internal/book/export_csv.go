package book

import (
	"context"
	"encoding/csv"
	"io"
)

// ExportCSV writes the readings that are in force as the table that ImportCSV
// reads, oldest first. A table has no room for the rest of the log, nor for a
// sample's temperature or who took it: ExportJSONL loses nothing.
func ExportCSV(ctx context.Context, s Store, w io.Writer) error {
	lines, err := s.Lines(ctx)
	if err != nil {
		return err
	}
	out := csv.NewWriter(w)
	if err := out.Write(columnsKnown); err != nil {
		return err
	}
	in := inForce(lines)
	for i := range lines {
		row, ok := asRow(&lines[i])
		if !ok || !in[i] {
			continue
		}
		if err := out.Write(fieldsOf(row)); err != nil {
			return err
		}
	}
	out.Flush()
	return out.Error()
}

func fieldsOf(row Line) []string {
	b := row.Body.(*Reading)
	value := string(b.Value)
	if b.Below {
		value = "<" + value
	}
	return []string{string(appendMoment(nil, row.At)), row.Tank, b.Quantity, value, b.Unit, b.Instrument, row.Note}
}
