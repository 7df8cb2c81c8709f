package book_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"driftline/internal/book"
)

const (
	north  = `{"kind":"tank","at":"2026-01-01T08:00:00Z","name":"North","net_volume":100,"unit":"L","time_zone":"Europe/Lisbon"}`
	read82 = `{"kind":"reading","at":"2026-01-02T08:00:00Z","tank":"north","quantity":"alkalinity","value":8.20,"unit":"dKH"}`
)

func take(t *testing.T, s book.Store, text string) book.Report {
	t.Helper()
	return takeWith(t, s, text, book.ImportOptions{Now: now})
}

func takeWith(t *testing.T, s book.Store, text string, opt book.ImportOptions) book.Report {
	t.Helper()
	r, err := book.ImportJSONL(t.Context(), strings.NewReader(text), s, opt)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func count(t *testing.T, s book.Store) int {
	t.Helper()
	lines, err := s.Lines(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	return len(lines)
}

func summary(r book.Report) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d added, %d skipped", r.Added, r.Skipped)
	for _, x := range r.Refused {
		fmt.Fprintf(&b, ", line %d %s", x.Line, x.Field)
	}
	return b.String()
}

func TestImportJSONL(t *testing.T) {
	fix := func(id, of string) string {
		return fmt.Sprintf(`{"kind":"note","at":"2026-01-03T08:00:00Z","note":"n","id":%q,"replaces":%q}`, id, of)
	}
	tests := []struct{ name, text, want string }{
		{"nothing", "", "0 added, 0 skipped"},
		{"a plain log", north + "\n" + read82, "2 added, 0 skipped"},
		{"line ends of Windows, a byte order mark, blank lines", "\ufeff" + north + "\r\n\r\n  \r\n" + read82 + "\r\n", "2 added, 0 skipped"},
		{"the tank comes last", read82 + "\n" + north, "2 added, 0 skipped"},
		{"the same line twice is one", north + "\n" + read82 + "\n" + read82, "2 added, 1 skipped"},
		{"an undeclared tank", read82 + "\n" + north[:len(north)-1] + `,"x":` + "\n" + read82, "0 added, 1 skipped, line 1 tank, line 2 "},
		{"a bad line between good ones", north + "\nrubbish\n" + read82, "2 added, 0 skipped, line 2 "},
		{"a correction of a later line", fix("b", "a") + "\n" + fix("a", "z") + "\n" + fix("z", "z"), "0 added, 0 skipped, line 1 replaces, line 2 replaces, line 3 replaces"},
		{"a chain backwards", fix("c", "b") + "\n" + fix("b", "a") + "\n" + strings.Replace(fix("a", ""), `,"replaces":""`, "", 1), "3 added, 0 skipped"},
		{"a ring", fix("a", "b") + "\n" + fix("b", "a"), "0 added, 0 skipped, line 1 replaces, line 2 replaces"},
		{"one id for two lines", fix("a", "") + "\n" + strings.Replace(fix("a", ""), `"n"`, `"m"`, 1), "1 added, 0 skipped, line 2 id"},
		{"a line of 1 MiB and one more", strings.Replace(fix("a", ""), `"n"`, `"`+strings.Repeat("n", book.LineLimit)+`"`, 1) + "\n" + north, "1 added, 0 skipped, line 1 "},
		{"UTF-16", "\xff\xfe{\x00", "0 added, 0 skipped, line 1 "},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := book.NewMemory()
			if got := summary(take(t, s, test.text)); got != test.want {
				t.Errorf("%s\nwant %s", got, test.want)
			}
			before := count(t, s)
			if again := take(t, s, test.text); again.Added != 0 || count(t, s) != before {
				t.Errorf("again: %s", summary(again))
			}
		})
	}
}

func TestImportSentences(t *testing.T) {
	r := take(t, book.NewMemory(), read82+"\n"+strings.Repeat("x", book.LineLimit+1))
	want := []book.Refusal{
		{Line: 1, Field: "tank", Reason: `tank "north" is not declared in the book or in this file; declare it with a tank line first`},
		{Line: 2, Reason: "the line is longer than 1 MiB; expected one fact a line"},
	}
	if diff := cmp.Diff(want, r.Refused); diff != "" {
		t.Error(diff)
	}
}

func TestImportStrict(t *testing.T) {
	for name, text := range map[string]string{
		"a bad line":         north + "\n" + read82 + "\nrubbish",
		"an undeclared tank": north + "\n" + strings.Replace(read82, "north", "south", 1),
	} {
		s := book.NewMemory()
		r := takeWith(t, s, text, book.ImportOptions{Now: now, Strict: true})
		if len(r.Refused) != 1 || r.Added != 0 || count(t, s) != 0 {
			t.Errorf("%s: %s, %d lines stored", name, summary(r), count(t, s))
		}
	}
	s := book.NewMemory()
	if r := takeWith(t, s, read82+"\n"+north, book.ImportOptions{Now: now, Strict: true}); r.Added != 2 {
		t.Errorf("a good file: %s", summary(r))
	}
}

func TestImportIntoABook(t *testing.T) {
	s := book.NewMemory()
	take(t, s, north+"\n"+strings.Replace(read82, "{", `{"id":"a",`, 1))
	tests := []struct{ name, text, want string }{
		{"a tank of the book", strings.Replace(read82, "8.20", "8.30", 1), "1 added, 0 skipped"},
		{"a correction of a line of the book", strings.Replace(read82, "{", `{"replaces":"a",`, 1), "1 added, 0 skipped"},
		{"a line that is there", strings.Replace(read82, "{", `{"id":"a",`, 1), "0 added, 1 skipped"},
		{"another line under its id", strings.Replace(strings.Replace(read82, "{", `{"id":"a",`, 1), "8.20", "9", 1), "0 added, 0 skipped, line 1 id"},
	}
	for _, test := range tests {
		if got := summary(take(t, s, test.text)); got != test.want {
			t.Errorf("%s: %s\nwant %s", test.name, got, test.want)
		}
	}
}

// The order of lines at one moment is that of the file, whatever they waited for.
func TestImportKeepsTheOrder(t *testing.T) {
	var text strings.Builder
	at := `"at":"2026-01-01T08:00:00Z"`
	for i, tank := range []string{"a", "b", "c", "a", "b"} {
		fmt.Fprintf(&text, `{"kind":"chore",%s,"tank":%q,"name":"n%d"}`+"\n", at, tank, i)
	}
	for _, tank := range []string{"c", "b", "a"} {
		fmt.Fprintf(&text, `{"kind":"tank",%s,"name":%q,"net_volume":1,"unit":"L"}`+"\n", at, tank)
	}
	s := book.NewMemory()
	take(t, s, text.String())
	lines, _ := s.Lines(t.Context())
	got := ""
	for _, l := range lines {
		switch b := l.Body.(type) {
		case *book.Chore:
			got += b.Name + " "
		case *book.Tank:
			got += b.Name + " "
		}
	}
	if got != "n0 n1 n2 n3 n4 c b a " {
		t.Errorf("order %s", got)
	}
}

var sevens = strings.Repeat("7", 64<<10)

// endless is a text without a line end.
type endless struct{ left int64 }

func (e *endless) Read(p []byte) (int, error) {
	if e.left <= 0 {
		return 0, io.EOF
	}
	n := copy(p[:min(int64(len(p)), e.left)], sevens)
	e.left -= int64(n)
	return n, nil
}

// A line of any length is passed over without being held in memory.
func TestImportHugeLine(t *testing.T) {
	size := int64(2 << 30)
	if testing.Short() {
		size = 64 << 20
	}
	in := io.MultiReader(strings.NewReader(north+"\n{\"kind\":"), &endless{size}, strings.NewReader("}\n"+read82))
	s := book.NewMemory()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	r, err := book.ImportJSONL(t.Context(), in, s, book.ImportOptions{Now: now})
	runtime.ReadMemStats(&after)
	if err != nil || summary(r) != "2 added, 0 skipped, line 2 " {
		t.Errorf("%s, %v", summary(r), err)
	}
	if held := after.Sys - before.Sys; after.Sys > before.Sys && held > 64<<20 {
		t.Errorf("the import took %d MB", held>>20)
	}
}

func TestImportErrors(t *testing.T) {
	broken := errors.New("the stick was pulled out")
	in := io.MultiReader(strings.NewReader(north+"\n"), errReader{broken})
	if _, err := book.ImportJSONL(t.Context(), in, book.NewMemory(), book.ImportOptions{Now: now}); !errors.Is(err, broken) {
		t.Errorf("a reader's error: %v", err)
	}
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := book.ImportJSONL(ctx, strings.NewReader(north), book.NewMemory(), book.ImportOptions{Now: now}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: %v", err)
	}
}

type errReader struct{ err error }

func (e errReader) Read([]byte) (int, error) { return 0, e.err }

// However bad a file is, the list of refusals stays readable.
func TestRefusalsAreBounded(t *testing.T) {
	r := take(t, book.NewMemory(), strings.Repeat("rubbish\n", 12_345))
	if len(r.Refused) != 10_000 || r.Unlisted != 2_345 {
		t.Errorf("%d listed, %d unlisted", len(r.Refused), r.Unlisted)
	}
}

// Lines of a tank that nobody declares are not held without end.
func TestWaitingLinesAreBounded(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while")
	}
	var b bytes.Buffer
	note := strings.Repeat("n", 100_000)
	for i := range 750 {
		fmt.Fprintf(&b, `{"kind":"chore","at":"2026-01-01T08:00:00Z","tank":"lost","name":"c%d","note":"%s"}`+"\n", i, note)
	}
	b.WriteString(north + "\n" + read82)
	r, err := book.ImportJSONL(t.Context(), &b, book.NewMemory(), book.ImportOptions{Now: now})
	if err != nil || r.Added != 2 || len(r.Refused) != 750 {
		t.Errorf("%d added, %d refused, %v", r.Added, len(r.Refused), err)
	}
}

func TestDetectFormat(t *testing.T) {
	for _, c := range []struct {
		name, text string
		want       book.Format
	}{
		{"", north, book.FormatJSONL}, {"x.csv", "\ufeff \n{", book.FormatJSONL}, {"", "[", book.FormatJSONL}, {"", "", book.FormatJSONL},
		{"", "time,tank", book.FormatCSV}, {"log.jsonl", "\ufefftime;tank\r\n", book.FormatCSV}, {"", "Unit\t\"Value\"", book.FormatCSV},
		{"x.csv", "", book.FormatCSV}, {"x.CSV", "when,what", book.FormatCSV},
		{"log.jsonl", "spoiled\n{", book.FormatJSONL}, {"", "spoiled,\n{", book.FormatJSONL},
	} {
		if got := book.DetectFormat(c.name, []byte(c.text)); got != c.want {
			t.Errorf("%q holding %q is %s, want %s", c.name, c.text, got, c.want)
		}
	}
	s := book.NewMemory()
	for _, text := range []string{north + "\n", "time,tank,quantity,value,unit\n2026-01-05 09:00,North,pH,8.1,NBS\n"} {
		if r, err := book.Import(t.Context(), "", strings.NewReader(text), s, book.ImportOptions{Now: now}); err != nil || r.Added != 1 {
			t.Errorf("%s: %+v, %v", text, r, err)
		}
	}
}
