package book

import (
	"bufio"
	"bytes"
	"context"
	"io"
)

// Format is a form in which a log, or part of it, comes.
type Format string

// The forms that can be imported.
const (
	FormatJSONL Format = "jsonl"
	FormatCSV   Format = "csv"
)

// DetectFormat tells the form by how the text begins, whatever the file is
// called: a line of the log is an object in braces, anything else is taken for
// a table.
func DetectFormat(head []byte) Format {
	head = bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\ufeff")))
	if len(head) > 0 && (head[0] == '{' || head[0] == '[') {
		return FormatJSONL
	}
	return FormatCSV
}

// Import takes a log or a table, whichever it is.
func Import(ctx context.Context, r io.Reader, s Store, opt ImportOptions) (Report, error) {
	in := bufio.NewReader(r)
	head, _ := in.Peek(4096) // a text that is shorter, or cannot be read, shows in the import itself
	if DetectFormat(head) == FormatCSV {
		return ImportCSV(ctx, in, s, opt)
	}
	return ImportJSONL(ctx, in, s, opt)
}
