package book

import (
	"bufio"
	"bytes"
	"context"
	"io"
	"path"
	"slices"
	"strings"
)

// Format is a form in which a log, or part of it, comes.
type Format string

// The forms that can be imported.
const (
	FormatJSONL Format = "jsonl"
	FormatCSV   Format = "csv"
)

// DetectFormat tells the form by how the text begins, whatever the file is
// called: a line of the log is an object in braces, and a table has a header.
// Of a text that begins with neither, the name decides, so that a log whose
// first line is spoiled is still read for its other lines.
func DetectFormat(name string, head []byte) Format {
	head = bytes.TrimSpace(bytes.TrimPrefix(head, []byte("\ufeff")))
	if len(head) > 0 && (head[0] == '{' || head[0] == '[') {
		return FormatJSONL
	}
	table := slices.Contains([]string{".csv", ".tsv", ".txt"}, strings.ToLower(path.Ext(name)))
	if table || likeHeader(head) {
		return FormatCSV
	}
	return FormatJSONL
}

// likeHeader says whether the first line names columns as a table of readings does.
func likeHeader(head []byte) bool {
	first, _, _ := bytes.Cut(head, []byte("\n"))
	known := 0
	for _, column := range strings.FieldsFunc(string(first), func(r rune) bool { return strings.ContainsRune(",;\t\" \r", r) }) {
		if slices.Contains([]string{"time", "tank", "quantity", "value", "unit"}, Key(column)) {
			known++
		}
	}
	return known >= 2
}

// Import takes a log or a table, whichever it is; name is that of the file, or empty.
func Import(ctx context.Context, name string, r io.Reader, s Store, opt ImportOptions) (Report, error) {
	in := bufio.NewReader(r)
	head, _ := in.Peek(4096) // a text that is shorter, or cannot be read, shows in the import itself
	if DetectFormat(name, head) == FormatCSV {
		return ImportCSV(ctx, in, s, opt)
	}
	return ImportJSONL(ctx, in, s, opt)
}
