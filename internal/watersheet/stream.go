package watersheet

import (
	"bufio"
	"context"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// Tally says how a table went.
type Tally struct {
	Lines   int // data lines read
	Refused int // of them, those with an error
}

// Stream reads a table and writes it out with all that follows. It fails only
// when the table itself cannot be read or written; a bad line is told of in its
// own column error and counted.
func Stream(ctx context.Context, in io.Reader, out io.Writer, o Options) (Tally, error) {
	var tally Tally
	r := csv.NewReader(bufio.NewReaderSize(in, 1<<16))
	r.ReuseRecord = true
	r.FieldsPerRecord = -1
	head, err := r.Read()
	if errors.Is(err, io.EOF) {
		return tally, errors.New("the table is empty; expected a header such as SP,t_degC,TA_umol_per_kg,pH_total")
	}
	if err != nil {
		return tally, fmt.Errorf("header: %w", err)
	}
	head = slices.Clone(head)
	for i := range head {
		head[i] = strings.TrimSpace(strings.TrimPrefix(head[i], "\ufeff"))
	}
	s := sheet{layout: newLayout(head, o), o: o}
	if len(s.out) == 0 {
		return tally, fmt.Errorf("the header has no column to work from; expected SP, SG or C_mS_per_cm, and mostly t_degC; it has %s", clip(strings.Join(head, ",")))
	}
	w := newWriter(out)
	w.texts(s.head)
	w.end()
	for {
		if tally.Lines%1024 == 0 && ctx.Err() != nil {
			return tally, ctx.Err()
		}
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return tally, w.flush()
		}
		var bad *csv.ParseError
		if err != nil && !errors.As(err, &bad) {
			return tally, err
		}
		tally.Lines++
		if !s.line(w, cells, len(head), err) {
			tally.Refused++
		}
		if w.err != nil {
			return tally, w.err
		}
	}
}

// line writes one line and says whether it could be worked out.
func (s *sheet) line(w *writer, cells []string, width int, err error) bool {
	w.texts(cells[:min(len(cells), width)])
	for i := len(cells); i < width; i++ {
		w.text("")
	}
	var r results
	switch {
	case err != nil:
		err = fmt.Errorf("the line is not CSV: %w", err)
	case len(cells) != width:
		err = fmt.Errorf("the line has %d cells, expected %d as in the header", len(cells), width)
	default:
		r, err = s.work(cells)
	}
	for _, out := range s.out {
		if err != nil && (r == results{}) {
			w.text("")
			continue
		}
		w.number(r[out])
	}
	w.text(strings.Join(s.beyond, "; "))
	if err != nil {
		w.text(err.Error())
	} else {
		w.text("")
	}
	w.end()
	return err == nil
}

// writer writes CSV without making a string of each number.
type writer struct {
	to    *bufio.Writer
	buf   []byte
	begun bool
	err   error
}

func newWriter(out io.Writer) *writer { return &writer{to: bufio.NewWriterSize(out, 1<<16)} }

func (w *writer) sep() {
	if w.begun {
		w.buf = append(w.buf, ',')
	}
	w.begun = true
}

func (w *writer) texts(cells []string) {
	for _, c := range cells {
		w.text(c)
	}
}

func (w *writer) text(s string) {
	w.sep()
	if !strings.ContainsAny(s, ",\"\r\n") && !strings.HasPrefix(s, " ") {
		w.buf = append(w.buf, s...)
		return
	}
	w.buf = append(w.buf, '"')
	w.buf = append(w.buf, strings.ReplaceAll(s, `"`, `""`)...)
	w.buf = append(w.buf, '"')
}

// number writes ten significant digits, as check tables have them.
func (w *writer) number(v float64) {
	w.sep()
	if known(v) {
		w.buf = strconv.AppendFloat(w.buf, v, 'g', 10, 64)
	}
}

func (w *writer) end() {
	w.buf = append(w.buf, '\n')
	if _, err := w.to.Write(w.buf); err != nil && w.err == nil {
		w.err = err
	}
	w.buf, w.begun = w.buf[:0], false
}

func (w *writer) flush() error {
	if w.err != nil {
		return w.err
	}
	return w.to.Flush()
}
