package cli

import (
	"context"
	"testing"
	"time"
)

func TestMomentsAsPeopleTypeThem(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	if err != nil {
		t.Skip("this machine has no time zones")
	}
	now := time.Date(2026, 7, 4, 6, 45, 0, 0, time.UTC)
	j := &job{Program: Program{Now: func() time.Time { return now }}, ctx: context.Background()}
	cases := []struct{ name, text, want string }{
		{"nothing is now", "", "2026-07-04T07:45:00+01:00"},
		{"now", "now", "2026-07-04T07:45:00+01:00"},
		{"today", "Today", "2026-07-04T00:00:00+01:00"},
		{"yesterday", "yesterday", "2026-07-03T00:00:00+01:00"},
		{"a time of today", "06:15", "2026-07-04T06:15:00+01:00"},
		{"a day", "2026-03-14", "2026-03-14T00:00:00Z"},
		{"a day and a time", "2026-07-01 21:30", "2026-07-01T21:30:00+01:00"},
		{"RFC 3339", "2026-07-01T21:30:00-05:00", "2026-07-01T21:30:00-05:00"},
		{"RFC 3339 without seconds", "2026-07-01T21:30Z", "2026-07-01T21:30:00Z"},
		{"with a T and no offset", "2026-07-01T21:30", "2026-07-01T21:30:00+01:00"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := j.moment("--at", c.text, lisbon)
			if err != nil {
				t.Fatal(err)
			}
			if got.Format(time.RFC3339) != c.want {
				t.Errorf("%q is %s, want %s", c.text, got.Format(time.RFC3339), c.want)
			}
		})
	}
	for _, text := range []string{"soon", "2026-13-01", "25:00", "14.3.2026", "03/04/2026"} {
		if got, err := j.moment("--at", text, lisbon); err == nil || ExitCode(err) != codeUsage {
			t.Errorf("%q was read as %v, %v", text, got, err)
		}
	}
}

// Folders after the XDG Base Directory Specification 0.8 and the platforms' own
// conventions.
func TestDataFolderOfEachSystem(t *testing.T) {
	cases := []struct {
		name, system string
		env          map[string]string
		want         string
	}{
		{"XDG", "linux", map[string]string{"HOME": "/home/ines", "XDG_DATA_HOME": "/data"}, "/data"},
		{"a relative XDG folder is to be ignored", "linux", map[string]string{"HOME": "/home/ines", "XDG_DATA_HOME": "data"}, "/home/ines/.local/share"},
		{"XDG's default", "freebsd", map[string]string{"HOME": "/home/ines"}, "/home/ines/.local/share"},
		{"a Mac", "darwin", map[string]string{"HOME": "/Users/ines"}, "/Users/ines/Library/Application Support"},
		{"Windows", "windows", map[string]string{"LocalAppData": `C:\Users\ines\AppData\Local`}, `C:\Users\ines\AppData\Local`},
		{"nowhere", "linux", nil, ""},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			got, err := dataHome(c.system, func(k string) string { return c.env[k] })
			if got != c.want || (err != nil) != (c.want == "") {
				t.Errorf("got %q, %v; want %q", got, err, c.want)
			}
		})
	}
}

func TestNegativeNumbersAreNotFlags(t *testing.T) {
	got := shieldNumbers([]string{"log", "harbour", "calcium", "-5", "-.5", "--at", "-h", "-", "--"})
	want := []string{"log", "harbour", "calcium", "−5", "−.5", "--at", "-h", "-", "--"}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("%q became %q, want %q", want[i], got[i], want[i])
		}
	}
}
