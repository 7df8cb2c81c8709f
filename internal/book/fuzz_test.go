package book_test

import (
	"bytes"
	"context"
	"io"
	"strings"
	"testing"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
)

// An import may refuse whatever it likes. What it takes must be whole: it
// exports, and comes back the same into another book; a strict import of a file
// with a bad line takes nothing; a second import adds nothing.
func FuzzImportJSONL(f *testing.F) {
	f.Add(strings.Join(booktest.SampleTexts(), "\n"))
	for _, text := range booktest.SampleTexts() {
		f.Add(north + "\n" + text)
	}
	f.Add("\ufeff" + north + "\r\n" + read82 + "\r\n{}")
	f.Add(`{"kind":"void","at":"2026-01-01T00:00:00Z","replaces":"a"}` + "\n" + `{"kind":"note","note":"\ud800","at":"x"}`)
	f.Fuzz(func(t *testing.T, text string) {
		checkImport(t, text, book.NewMemory, book.ImportJSONL)
	})
}

func FuzzImportCSV(f *testing.F) {
	const head = "time,tank,quantity,value,unit,instrument,note\n"
	f.Add(head + "2026-01-05T19:30:00Z,North,alkalinity,8.20,dKH,kit,\"a \"\"note\"\"\nhere\"")
	f.Add("\ufefftime;tank;quantity;value;unit\r\n2026-01-05 19:30;north;salinity;1,025;SG 25/25\r\n2026-01-05;North;po4;<0,02;ppm\r\n")
	f.Add("sep=;\ntime\ttank\tquantity\tvalue\tunit\n2025-03-30 01:30\tNorth\tpH\t8.1\tNBS\n\"open")
	f.Add(head + "2026-01-05T19:30:00Z,North,magnesium,\"1,236\",mg/L,,\n,,,,,,\nx")
	f.Fuzz(func(t *testing.T, text string) {
		checkImport(t, text, func() *book.Memory {
			s := book.NewMemory()
			if _, err := book.ImportJSONL(context.Background(), strings.NewReader(north), s, book.ImportOptions{Now: now}); err != nil {
				t.Fatal(err)
			}
			return s
		}, book.ImportCSV)
	})
}

type importer func(context.Context, io.Reader, book.Store, book.ImportOptions) (book.Report, error)

func checkImport(t *testing.T, text string, empty func() *book.Memory, run importer) {
	t.Helper()
	take := func(s book.Store, strict bool) book.Report {
		r, err := run(t.Context(), strings.NewReader(text), s, book.ImportOptions{Now: now, Strict: strict})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	s, strict := empty(), empty()
	before := count(t, s)
	r := take(s, false)
	if got := count(t, s); got != before+r.Added {
		t.Fatalf("%d lines stored, %d said to be added", got-before, r.Added)
	}
	if again := take(s, false); again.Added != 0 {
		t.Fatalf("a second import added %d", again.Added)
	}
	sr := take(strict, true)
	if len(sr.Refused) != len(r.Refused) || len(sr.Refused) > 0 && count(t, strict) != before {
		t.Fatalf("strict: %+v, %d lines stored", sr, count(t, strict))
	}
	comesBack(t, s)
}

// comesBack exports a store, imports it into another and compares.
func comesBack(t *testing.T, s book.Store) {
	t.Helper()
	var first, second bytes.Buffer
	if err := book.ExportJSONL(t.Context(), s, &first); err != nil {
		t.Fatal(err)
	}
	other := book.NewMemory()
	r, err := book.ImportJSONL(t.Context(), bytes.NewReader(first.Bytes()), other, book.ImportOptions{Now: now})
	if err != nil || len(r.Refused) > 0 {
		t.Fatalf("what was exported is refused: %+v, %v", r, err)
	}
	if err := book.ExportJSONL(t.Context(), other, &second); err != nil {
		t.Fatal(err)
	}
	if first.String() != second.String() {
		t.Fatalf("exported\n%s\nthen\n%s", first.String(), second.String())
	}
	book.Replay(must(s.Lines(t.Context())), now)
	if found, err := s.Check(t.Context()); err != nil || len(found) > 0 {
		t.Fatalf("the book is not sound: %q, %v", found, err)
	}
}

func must(lines []book.Line, err error) []book.Line {
	if err != nil {
		return nil
	}
	return lines
}
