package chart

import (
	"strconv"
	"time"
)

// stop is a place on the time axis: a short label, and what it belongs to (the
// month of a day, the year of a month), shown where that changes.
type stop struct {
	at     time.Time
	label  string
	within string
}

// pace is a way to walk the calendar: from a round moment to the next.
type pace struct {
	from   func(t time.Time) time.Time // the round moment at or before t
	next   func(t time.Time) time.Time
	label  string // layouts
	within string
}

// paces from the finest; years beyond a century are made by the walk itself.
var paces = func() []pace {
	var all []pace
	for _, h := range []int{1, 3, 6, 12} {
		all = append(all, hours(h))
	}
	for _, d := range []int{1, 2, 7, 14} {
		all = append(all, days(d))
	}
	for _, m := range []int{1, 2, 3, 6} {
		all = append(all, months(m))
	}
	for y := 1; y <= 1000; y *= 10 {
		all = append(all, years(y), years(2*y), years(5*y))
	}
	return all
}()

func hours(n int) pace {
	return pace{
		from: func(t time.Time) time.Time {
			return time.Date(t.Year(), t.Month(), t.Day(), t.Hour()/n*n, 0, 0, 0, t.Location())
		},
		next: func(t time.Time) time.Time {
			return time.Date(t.Year(), t.Month(), t.Day(), (t.Hour()/n+1)*n, 0, 0, 0, t.Location())
		},
		label: "15:04", within: "2 Jan",
	}
}

// days count from a Monday, so that seven of them are weeks.
func days(n int) pace {
	monday := time.Date(1900, time.January, 1, 0, 0, 0, 0, time.UTC)
	return pace{
		from: func(t time.Time) time.Time {
			date := time.Date(t.Year(), t.Month(), t.Day(), 0, 0, 0, 0, time.UTC)
			since := int(date.Unix()-monday.Unix()) / 86400
			back := ((since % n) + n) % n
			return time.Date(t.Year(), t.Month(), t.Day()-back, 0, 0, 0, 0, t.Location())
		},
		next: func(t time.Time) time.Time {
			return time.Date(t.Year(), t.Month(), t.Day()+n, 0, 0, 0, 0, t.Location())
		},
		label: "2", within: "Jan 2006",
	}
}

func months(n int) pace {
	return pace{
		from: func(t time.Time) time.Time {
			return time.Date(t.Year(), time.Month((int(t.Month())-1)/n*n+1), 1, 0, 0, 0, 0, t.Location())
		},
		next: func(t time.Time) time.Time {
			return time.Date(t.Year(), t.Month()+time.Month(n), 1, 0, 0, 0, 0, t.Location())
		},
		label: "Jan", within: "2006",
	}
}

func years(n int) pace {
	return pace{
		from: func(t time.Time) time.Time {
			return time.Date(t.Year()/n*n, time.January, 1, 0, 0, 0, 0, t.Location())
		},
		next: func(t time.Time) time.Time {
			return time.Date(t.Year()+n, time.January, 1, 0, 0, 0, 0, t.Location())
		},
		label: "2006",
	}
}

// walk is every round moment of the pace within the span, or nil when there
// are more than most.
func (c pace) walk(s Span, zone *time.Location, most int) []stop {
	var stops []stop
	end := s.To.In(zone)
	for t := c.from(s.From.In(zone)); !t.After(end); t = c.after(t) {
		if t.Before(s.From) {
			continue
		}
		if len(stops) == most {
			return nil
		}
		stops = append(stops, c.stop(t))
	}
	return stops
}

// after is the next round moment, later than t even where the clock of the
// zone leaves that moment out or has it twice.
func (c pace) after(t time.Time) time.Time {
	n := c.next(t)
	for probe := t; !n.After(t); {
		probe = probe.Add(time.Hour)
		n = c.from(probe)
	}
	return n
}

func (c pace) stop(t time.Time) stop {
	s := stop{at: t, label: t.Format(c.label)}
	if c.within != "" {
		s.within = t.Format(c.within)
	}
	if c.label == "2006" {
		s.label = strconv.Itoa(t.Year())
	}
	return s
}

// timeTicks is the finest walk whose labels, in the width each takes, stand
// clear of each other.
func timeTicks(s Span, zone *time.Location, x func(time.Time) float64, labelWidth func(string) float64, most int) []stop {
	for _, c := range paces {
		stops := c.walk(s, zone, most)
		if len(stops) > 0 && clear(stops, x, labelWidth) {
			return stops
		}
	}
	return nil
}

func clear(stops []stop, x func(time.Time) float64, labelWidth func(string) float64) bool {
	for i := 1; i < len(stops); i++ {
		need := (labelWidth(stops[i-1].label) + labelWidth(stops[i].label)) / 2
		if x(stops[i].at)-x(stops[i-1].at) < need+labelWidth("0") {
			return false
		}
	}
	return true
}
