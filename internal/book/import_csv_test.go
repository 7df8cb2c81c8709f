package book_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"driftline/internal/book"
	"driftline/internal/book/booktest"
)

// withNorth is a store with one tank, in Lisbon: UTC in winter, an hour more in summer.
func withNorth(t *testing.T) *book.Memory {
	t.Helper()
	s := book.NewMemory()
	take(t, s, north)
	return s
}

func takeTable(t *testing.T, s book.Store, text string) book.Report {
	t.Helper()
	r, err := book.ImportCSV(t.Context(), strings.NewReader(text), s, book.ImportOptions{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// readings lists what the store holds as "time value unit instrument note".
func readings(t *testing.T, s book.Store) string {
	t.Helper()
	var b bytes.Buffer
	if err := book.ExportCSV(t.Context(), s, &b); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(strings.TrimPrefix(b.String(), "time,tank,quantity,value,unit,instrument,note\n"))
}

func TestImportCSV(t *testing.T) {
	const head = "time,tank,quantity,value,unit\n"
	tests := []struct{ name, text, want string }{
		{"plain", head + "2026-01-05T19:30:00Z,North,alkalinity,8.20,dKH",
			"2026-01-05T19:30:00Z,North,alkalinity,8.20,dKH,,"},
		{"all columns in another order, capitals, spaces",
			"Note, Value ,Unit,Instrument,Time,Tank,Quantity\nn, 8.2 ,dKH, Drop Kit ,2026-01-05T19:30:00+01:00,North,alkalinity",
			"2026-01-05T19:30:00+01:00,North,alkalinity,8.2,dKH,Drop Kit,n"},
		{"byte order mark and line ends of Windows", "\ufefftime,tank,quantity,value,unit\r\n2026-01-05T19:30:00Z,North,pH,8.1,NBS\r\n",
			"2026-01-05T19:30:00Z,North,pH,8.1,NBS,,"},
		{"semicolons and decimal commas", "time;tank;quantity;value;unit\n2026-01-05T19:30:00Z;North;alkalinity;8,20;dKH\n2026-01-06T19:30:00Z;North;salinity;1,025;SG 25/25",
			"2026-01-05T19:30:00Z,North,alkalinity,8.20,dKH,,\n2026-01-06T19:30:00Z,North,salinity,1.025,SG 25/25,,"},
		{"tabs", "time\ttank\tquantity\tvalue\tunit\n2026-01-05T19:30:00Z\tNorth\tcalcium\t420,5\tmg/L",
			"2026-01-05T19:30:00Z,North,calcium,420.5,mg/L,,"},
		{"a spreadsheet's word on its separator", "sep=;\ntime;tank;quantity;value;unit\n2026-01-05T19:30:00Z;North;pH;8,1;NBS",
			"2026-01-05T19:30:00Z,North,pH,8.1,NBS,,"},
		{"a quoted decimal comma", head + `2026-01-05T19:30:00Z,North,alkalinity,"8,2",dKH`,
			"2026-01-05T19:30:00Z,North,alkalinity,8.2,dKH,,"},
		{"a quoted note over two lines", "time,tank,quantity,value,unit,note\n" + `2026-01-05T19:30:00Z,North,pH,8.1,NBS,"said ""hm""` + "\n" + `and left"`,
			"2026-01-05T19:30:00Z,North,pH,8.1,NBS,,\"said \"\"hm\"\"\nand left\""},
		{"below a kit's limit", head + "2026-01-05T19:30:00Z,North,phosphate,<0.02,mg/L\n2026-01-06T19:30:00Z,North,phosphate,< 0.02,mg/L",
			"2026-01-05T19:30:00Z,North,phosphate,<0.02,mg/L,,\n2026-01-06T19:30:00Z,North,phosphate,<0.02,mg/L,,"},
		{"a clock at the tank in winter and in summer", head + "2026-01-05 19:30,North,pH,8.1,NBS\n2025-07-05 19:30:10,North,pH,8.1,NBS",
			"2025-07-05T19:30:10+01:00,North,pH,8.1,NBS,,\n2026-01-05T19:30:00Z,North,pH,8.1,NBS,,"},
		{"an offset without seconds, a day alone", head + "2026-01-05 19:30+02:00,North,pH,8.1,NBS\n2025-07-05,North,pH,8.1,NBS",
			"2025-07-05T12:00:00+01:00,North,pH,8.1,NBS,,\n2026-01-05T19:30:00+02:00,North,pH,8.1,NBS,,"},
		{"separators at the ends of lines", "time,tank,quantity,value,unit,,\n2026-01-05T19:30:00Z,North,pH,8.1,NBS,,\n,,,,,,",
			"2026-01-05T19:30:00Z,North,pH,8.1,NBS,,"},
		{"numbers as people write them", head + "2026-01-05T19:30:00Z,North,phosphate,.04,mg/L\n2026-01-06T19:30:00Z,North,calcium,+0420.,mg/L",
			"2026-01-05T19:30:00Z,North,phosphate,0.04,mg/L,,\n2026-01-06T19:30:00Z,North,calcium,420,mg/L,,"},
		{"a lone quote inside a field", "time,tank,quantity,value,unit,note\n2026-01-05T19:30:00Z,North,pH,8.1,NBS,24\" tank",
			`2026-01-05T19:30:00Z,North,pH,8.1,NBS,,"24"" tank"`},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := withNorth(t)
			r := takeTable(t, s, test.text)
			if got := readings(t, s); len(r.Refused) > 0 || got != test.want {
				t.Errorf("refused %+v, read\n%s\nwant\n%s", r.Refused, got, test.want)
			}
			if again := takeTable(t, s, test.text); again.Added != 0 || again.Skipped != r.Added {
				t.Errorf("again: %s", summary(again))
			}
		})
	}
}

func TestImportCSVRefuses(t *testing.T) {
	const head = "time,tank,quantity,value,unit\n"
	const semi = "time;tank;quantity;value;unit\n"
	tests := []struct {
		name, text string
		line       int
		field      string
		says       string
	}{
		{"an empty file", "", 1, "", "empty"},
		{"no header", "2026-01-05T19:30:00Z,North,pH,8.1,NBS", 1, "", "not the header"},
		{"a column missing", "time,tank,quantity,value\n", 1, "unit", "missing"},
		{"an unknown column", "time,tank,quantity,value,unit,mood\n", 1, "mood", "not known"},
		{"a column twice", "time,tank,quantity,value,unit,unit\n", 1, "unit", "twice"},
		{"UTF-16", "\xff\xfet\x00i\x00", 1, "", "UTF-8"},
		{"another code page", head + "2026-01-05T19:30:00Z,North,temperature,25,\xb0C", 2, "", "UTF-8"},
		{"a decimal comma between commas", head + "2026-01-05T19:30:00Z,North,alkalinity,8,2,dKH", 2, "", "quotes"},
		{"a decimal comma between commas, with room for it", "time,tank,quantity,value,unit,note\n2026-01-05T19:30:00Z,North,alkalinity,8,2,dKH", 2, "unit", "quotes"},
		{"a quoted 1,236", head + `2026-01-05T19:30:00Z,North,magnesium,"1,236",mg/L`, 2, "value", "thousands"},
		{"1,236 among decimal points", semi + "2026-01-05T19:30:00Z;North;magnesium;1,236;mg/L\n2026-01-05T19:30:00Z;North;pH;8.1;NBS", 2, "value", "thousands"},
		{"1.236 among decimal commas", semi + "2026-01-05T19:30:00Z;North;magnesium;1.236;mg/L\n2026-01-05T19:30:00Z;North;pH;8,1;NBS", 2, "value", "thousands"},
		{"two marks", semi + "2026-01-05T19:30:00Z;North;magnesium;1.236,5;mg/L", 2, "value", "not a number"},
		{"a word", head + "2026-01-05T19:30:00Z,North,pH,low,NBS", 2, "value", "not a number"},
		{"no value", head + "2026-01-05T19:30:00Z,North,pH,,NBS", 2, "value", "missing"},
		{"a short line", head + "2026-01-05T19:30:00Z,North,pH", 2, "unit", "missing"},
		{"an undeclared tank", head + "2026-01-05T19:30:00Z,South,pH,8.1,NBS", 2, "tank", "South"},
		{"no tank", head + "2026-01-05T19:30:00Z,,pH,8.1,NBS", 2, "tank", "missing"},
		{"a time with day first", head + "05/01/2026 19:30,North,pH,8.1,NBS", 2, "time", "2026-03-01"},
		{"a time that clocks skip", head + "2025-03-30 01:30,North,pH,8.1,NBS", 2, "time", "does not exist in Europe/Lisbon"},
		{"a date in 2062", head + "2062-01-05T19:30:00Z,North,pH,8.1,NBS", 2, "at", "future"},
		{"pH 82", head + "2026-01-05T19:30:00Z,North,pH,82,NBS", 2, "value", "82"},
		{"an unknown unit", head + "2026-01-05T19:30:00Z,North,pH,8.2,furlongs", 2, "unit", "furlongs"},
		{"a long line", head + strings.Repeat("x", book.LineLimit+1), 2, "", "1 MiB"},
		{"an open quote", "time,tank,quantity,value,unit,note\n2026-01-05T19:30:00Z,North,pH,8.2,NBS,\"x", 2, "", "never closed"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := withNorth(t)
			r := takeTable(t, s, test.text)
			if len(r.Refused) != 1 || r.Refused[0].Line != test.line || r.Refused[0].Field != test.field || !strings.Contains(r.Refused[0].Reason, test.says) {
				t.Errorf("refused %+v, want line %d, field %q and %q", r.Refused, test.line, test.field, test.says)
			}
		})
	}
}

// One bad record spoils nothing behind it, an open quote included.
func TestImportCSVGoesOn(t *testing.T) {
	s := withNorth(t)
	good := func(day int) string { return fmt.Sprintf("2026-01-%02dT08:00:00Z,North,pH,8.1,NBS,\n", day) }
	text := "time,tank,quantity,value,unit,note\n" + good(1) + "2026-01-02T08:00:00Z,North,pH,8.1,NBS,\"open\n" + good(3) + "rubbish\n" + good(5)
	if got, want := summary(takeTable(t, s, text)), "3 added, 0 skipped, line 3 , line 5 time"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	strict, err := book.ImportCSV(t.Context(), strings.NewReader(text), withNorth(t), book.ImportOptions{Now: now, Strict: true})
	if err != nil || strict.Added != 0 || len(strict.Refused) != 2 {
		t.Errorf("strict: %s, %v", summary(strict), err)
	}
}

// A table that was exported adds nothing to its own book and gives another book
// the same table.
func TestTableRoundTrip(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		s := book.NewMemory()
		lines := booktest.Log(rt)
		if _, err := s.Append(t.Context(), lines); err != nil {
			rt.Fatal(err)
		}
		var table, again bytes.Buffer
		if err := book.ExportCSV(t.Context(), s, &table); err != nil {
			rt.Fatal(err)
		}
		opt := book.ImportOptions{Now: booktest.Now}
		r, err := book.ImportCSV(t.Context(), bytes.NewReader(table.Bytes()), s, opt)
		if err != nil || r.Added != 0 || len(r.Refused) > 0 {
			rt.Fatalf("into its own book: %+v, %v", r, err)
		}
		other := book.NewMemory()
		for _, l := range lines {
			if l.Kind == book.KindTank {
				l.Replaces = ""
				other.Append(t.Context(), []book.Line{l})
			}
		}
		if r, err = book.ImportCSV(t.Context(), bytes.NewReader(table.Bytes()), other, opt); err != nil || len(r.Refused) > 0 {
			rt.Fatalf("into another: %+v, %v", r, err)
		}
		if err := book.ExportCSV(t.Context(), other, &again); err != nil {
			rt.Fatal(err)
		}
		if diff := cmp.Diff(table.String(), again.String()); diff != "" {
			rt.Fatal(diff)
		}
	})
}

func TestExportCSVHoldsWhatStands(t *testing.T) {
	s := book.NewMemory()
	_, err := s.Append(t.Context(), []book.Line{tankLine("t", "North", 0), reading("a", "8.0", 1, ""), reading("b", "8.10", 1, "a"),
		reading("c", "9", 2, ""), void("v", 3, "c")})
	if err != nil {
		t.Fatal(err)
	}
	if got, want := readings(t, s), "2026-01-02T08:00:00Z,north,alkalinity,8.10,dKH,Kit,"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}
