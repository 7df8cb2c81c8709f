package book

import (
	"bufio"
	"context"
	"io"
)

// ExportJSONL writes every line of the store, oldest first, in the form that
// ImportJSONL reads.
func ExportJSONL(ctx context.Context, s Store, w io.Writer) error {
	lines, err := s.Lines(ctx)
	if err != nil {
		return err
	}
	out := bufio.NewWriterSize(w, 64<<10)
	var text []byte
	for _, l := range lines {
		if text, err = AppendJSON(text[:0], l); err != nil {
			return err
		}
		if _, err := out.Write(append(text, '\n')); err != nil {
			return err
		}
	}
	return out.Flush()
}
