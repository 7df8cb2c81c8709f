package chart

import (
	"bytes"
	"compress/gzip"
	"math"
	"strings"
	"testing"
	"time"
)

// The example of P. S. Heckbert, "Nice numbers for graph labels", Graphics Gems
// (1990), p. 61: data from 105 to 543 is labelled at every hundred (from memory).
func TestValueTicksHeckbert(t *testing.T) {
	var labels []string
	for _, m := range valueTicks(100, 600, 5) {
		labels = append(labels, m.label)
	}
	if got := strings.Join(labels, " "); got != "100 200 300 400 500 600" {
		t.Errorf("ticks %s", got)
	}
}

func TestValueTicks(t *testing.T) {
	for _, c := range []struct {
		name      string
		low, high float64
		most      int
		want      string
	}{
		{"alkalinity", 7.3, 9.2, 5, "7.5 8.0 8.5 9.0"},
		{"phosphate", 0, 0.11, 4, "0.00 0.05 0.10"},
		{"magnesium", 1150, 1410, 6, "1,150 1,200 1,250 1,300 1,350 1,400"},
		{"below zero", -2.2, 1.1, 4, "−2 −1 0 1"},
		{"upside down", 2, 1, 4, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var labels []string
			for _, m := range valueTicks(c.low, c.high, c.most) {
				labels = append(labels, m.label)
			}
			if got := strings.Join(labels, " "); got != c.want {
				t.Errorf("ticks %s, want %s", got, c.want)
			}
		})
	}
}

// Clocks of the IANA time zone database: Berlin went forward on 29 March 2026,
// Lord Howe Island goes back by half an hour on 5 April 2026, and Apia had no
// 30 December 2011.
func TestTicksFollowTheClockOfTheTank(t *testing.T) {
	for _, c := range []struct{ name, zone, from, to, want string }{
		{"Berlin forward", "Europe/Berlin", "2026-03-28T00:00:00+01:00", "2026-03-31T00:00:00+02:00", "28 29 30 31"},
		{"Lord Howe back", "Australia/Lord_Howe", "2026-04-04T00:00:00+11:00", "2026-04-07T00:00:00+10:30", "4 5 6 7"},
		{"Apia's missing day", "Pacific/Apia", "2011-12-28T00:00:00-10:00", "2012-01-01T00:00:00+14:00", "28 29 31 1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			z, err := time.LoadLocation(c.zone)
			if err != nil {
				t.Skip("no time zone database here: ", err)
			}
			var labels []string
			for _, s := range days(1).walk(Span{at(c.from), at(c.to)}, z, 50) {
				labels = append(labels, s.label)
				if local := s.at.In(z); local.Hour() != 0 || local.Minute() != 0 {
					t.Errorf("%v is no midnight", local)
				}
			}
			if got := strings.Join(labels, " "); got != c.want {
				t.Errorf("days %s, want %s", got, c.want)
			}
		})
	}
}

// ISO 8601: weeks begin on Monday.
func TestWeeksBeginOnMonday(t *testing.T) {
	for _, s := range days(7).walk(Span{at("2025-12-01"), at("2026-03-01")}, time.UTC, 50) {
		if s.at.Weekday() != time.Monday {
			t.Errorf("%v is a %v", s.at, s.at.Weekday())
		}
	}
}

func TestSizeOverTheWire(t *testing.T) {
	p := tank{"alkalinity, south", "dKH", 1, 8.9, .0015, .18, Band{7.5, 8.2, 9}, 700, 500, 60}.picture(2)
	all := p.Extent()
	p = p.Between(all)
	for _, c := range []struct {
		name, body string
		most       int
	}{
		{"small", string(Small(p)), 800},
		{"phone", string(Large(p, Phone, "a")), 8 << 10},
		{"wide", string(Large(p, Wide, "a")), 9 << 10},
		{"whole figure: both drawings, figures for reading out, legend, table", string(Figure(p, Place{"a", "/c", "/p"})), 23 << 10},
	} {
		n := packed(c.body)
		t.Logf("%s: %d bytes, %d gzipped", c.name, len(c.body), n)
		if n > c.most {
			t.Errorf("%s: %d bytes gzipped, want at most %d", c.name, n, c.most)
		}
	}
}

func packed(s string) int {
	var b bytes.Buffer
	z := gzip.NewWriter(&b)
	_, _ = z.Write([]byte(s)) // a buffer takes everything
	_ = z.Close()
	return b.Len()
}

func TestWordsOfAPicture(t *testing.T) {
	p := few()
	small, large := string(Small(p)), string(Large(p, Wide, "a"))
	for _, want := range []string{"Alkalinity, south shelf 7.70 ± 0.12 dKH, near the edge; band 7.5 to 9.0 dKH; even chance of leaving it by 16 Mar."} {
		if !strings.Contains(small, want) {
			t.Errorf("small picture does not say %q:\n%s", want, small)
		}
	}
	for _, want := range []string{"4 readings from 1 Mar to 21 Mar, 1 of them a likely misread.", "even chance, 16 Mar", "today, 11 Mar", "high 9.0"} {
		if !strings.Contains(large, want) {
			t.Errorf("large picture does not say %q", want)
		}
	}
}

func TestLine(t *testing.T) {
	got := Line(few(), 12)
	if n := len([]rune(got)); n != 12 || !strings.Contains(got, "│") {
		t.Errorf("line %q", got)
	}
	if flat := Line(extremePictures()["equal"], 10); strings.Trim(flat, "▄│ ") != "" {
		t.Errorf("a level that never moves is drawn as %q", flat)
	}
	if empty := LineKey(extremePictures()["empty"]); empty != "Nothing to draw yet." {
		t.Errorf("an empty picture says %q", empty)
	}
}

func TestParseSpan(t *testing.T) {
	for _, c := range []struct{ name, from, to, problem string }{
		{"none", "", "", ""},
		{"moments", "2026-01-01T00:00:00Z", "2026-02-01T00:00:00+01:00", ""},
		{"dates", "2026-01-01", "2026-02-01", ""},
		{"one end", "2026-01-01", "", `to: "" is no moment; expected a date such as 2026-03-12 or 2026-03-12T19:30:00Z`},
		{"backwards", "2026-02-01", "2026-01-01", `to: "2026-01-01" is not after "2026-02-01"; expected a later moment`},
		{"nonsense", "yesterday", "2026-01-01", `from: "yesterday" is no moment; expected a date such as 2026-03-12 or 2026-03-12T19:30:00Z`},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ParseSpan(c.from, c.to)
			if (err == nil) != (c.problem == "") || err != nil && err.Error() != c.problem {
				t.Errorf("error %v, want %q", err, c.problem)
			}
		})
	}
}

func TestLineOutsideTheBandIsSetApart(t *testing.T) {
	inside, outside := split([]point{{0, 10}, {10, 30}, {20, 10}}, 0, 20)
	if got, want := string(inside.b)+" "+string(outside.b), "M0 10l5 10M15 20l5-10 M5 20l5 10 5-10"; got != want {
		t.Errorf("split into %s, want %s", got, want)
	}
}

func TestKitsKeepTheirMarksInAnySpan(t *testing.T) {
	p := few()
	closer := p.Between(Span{at("2026-03-08"), at("2026-03-20")}).tidy()
	if len(closer.Readings) != 1 || closer.Kits[1] != "photometer" {
		t.Errorf("kits %v", closer.Kits)
	}
	if len(closer.changes) != 1 || closer.changes[0].kit != 1 {
		t.Errorf("changes of kit %v", closer.changes)
	}
}

func TestReachLimitsAnOpenFan(t *testing.T) {
	low, high := extremePictures()["open"].tidy().reach()
	if math.IsNaN(low) || low < 900 || high > 1800 {
		t.Errorf("the axis runs from %g to %g", low, high)
	}
}

func BenchmarkFigure500(b *testing.B) {
	p := tank{"alkalinity, south", "dKH", 1, 8.9, .0015, .18, Band{7.5, 8.2, 9}, 700, 500, 60}.picture(2)
	p = p.Between(p.Extent())
	for b.Loop() {
		Figure(p, Place{"a", "/c", "/p"})
	}
	b.ReportMetric(float64(packed(string(Figure(p, Place{"a", "/c", "/p"})))), "gzipped-bytes")
}

func BenchmarkSmall(b *testing.B) {
	p := magnesium.picture(1)
	for b.Loop() {
		Small(p)
	}
}

func BenchmarkFigure30000(b *testing.B) {
	p := extremePictures()["crowded"]
	for b.Loop() {
		Figure(p, Place{"a", "/c", "/p"})
	}
}
