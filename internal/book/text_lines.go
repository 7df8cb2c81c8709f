package book

import (
	"bufio"
	"bytes"
	"errors"
	"io"
)

// LineLimit is the longest line an import reads, in bytes.
const LineLimit = 1 << 20

var errLongLine = faultf("", "the line is longer than 1 MiB; expected one fact a line")

// textLines reads a text line by line, never holding more than one of them,
// and of one that is too long nothing.
type textLines struct {
	in     *bufio.Reader
	number int // of the line read last, from 1
	buf    []byte
}

func newTextLines(r io.Reader) *textLines {
	return &textLines{in: bufio.NewReaderSize(r, 64<<10)}
}

// next gives the next line without its line end; the first without a byte order
// mark. It is io.EOF at the end and errLongLine for a line that was passed over.
// The text holds until the next call.
func (t *textLines) next() ([]byte, error) {
	t.buf = t.buf[:0]
	t.number++
	long := false
	for {
		piece, err := t.in.ReadSlice('\n')
		if !long && len(t.buf)+len(piece) > LineLimit+2 {
			long = true
			t.buf = t.buf[:0]
		}
		if !long {
			t.buf = append(t.buf, piece...)
		}
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		return t.line(long, err)
	}
}

func (t *textLines) line(long bool, err error) ([]byte, error) {
	switch {
	case err != nil && !errors.Is(err, io.EOF):
		return nil, err
	case long:
		return nil, errLongLine
	case err != nil && len(t.buf) == 0:
		return nil, io.EOF
	}
	line := bytes.TrimSuffix(bytes.TrimSuffix(t.buf, []byte("\n")), []byte("\r"))
	if t.number == 1 {
		line = bytes.TrimPrefix(line, []byte("\ufeff"))
	}
	if len(line) > LineLimit {
		return nil, errLongLine
	}
	return line, nil
}
