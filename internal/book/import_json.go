package book

import (
	"bytes"
	"context"
	"errors"
	"io"
)

// ImportJSONL takes a log in JSON Lines into a store. Good lines go in and bad
// ones are refused, each with its number, field and reason; a strict import
// takes all or nothing. A line without an id gets one from what it says, so a
// file taken in twice adds nothing, and an import that was cut short is
// finished by running it again. The order of the file is kept; a tank may be
// declared after the lines that speak of it.
func ImportJSONL(ctx context.Context, r io.Reader, s Store, opt ImportOptions) (Report, error) {
	in, err := newIntake(ctx, s, opt)
	if err != nil {
		return Report{}, err
	}
	parser := new(Parser)
	lines := newTextLines(r)
	for {
		text, err := lines.next()
		if errors.Is(err, io.EOF) {
			return in.finish()
		}
		if err := in.jsonLine(lines.number, parser, text, err); err != nil {
			return in.report, err
		}
	}
}

// jsonLine takes one line of text; readErr is what reading it came to.
func (in *intake) jsonLine(number int, parser *Parser, text []byte, readErr error) error {
	var fault *Fault
	switch {
	case errors.As(readErr, &fault):
		in.refuse(number, readErr)
		return in.ctx.Err()
	case readErr != nil:
		return readErr
	case len(bytes.TrimSpace(text)) == 0:
		return nil
	}
	l, err := parser.Parse(text)
	if err != nil {
		in.refuse(number, err)
		return in.ctx.Err()
	}
	return in.add(number, l)
}
