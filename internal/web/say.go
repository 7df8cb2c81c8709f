package web

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"time"

	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// words are the functions the templates may use.
var words = template.FuncMap{
	"capital":  prose.Capital,
	"query":    urlQuery,
	"tie":      tie,
	"sentence": sentence,
}

func idOf(linePath string) string {
	i := strings.LastIndexByte(linePath, 47)
	return linePath[i+1:]
}

func urlQuery(s string) string { return url.QueryEscape(s) }

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	s = strings.TrimSpace(s)
	if s == "" || strings.HasSuffix(s, ".") {
		return prose.Capital(s)
	}
	return prose.Capital(s) + "."
}

// thousands writes a whole number with commas.
func thousands(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}

func longDay(t time.Time) string { return t.Format("Monday 2 January 2006") }

// dayWord names a day as seen from another: today, tomorrow, Fri 28 Nov.
func dayWord(t, now time.Time) string {
	t = t.In(now.Location())
	switch daysBetween(now, t) {
	case 0:
		return "today"
	case 1:
		return "tomorrow"
	case -1:
		return "yesterday"
	}
	if t.Year() == now.Year() {
		return t.Format("Mon 2 Jan")
	}
	return t.Format("2 Jan 2006")
}

// dayTable is the day as a table wants it: always the same width.
func dayTable(t, now time.Time) string {
	if t.Year() == now.Year() {
		return t.Format("Mon 2 Jan")
	}
	return t.Format("2 Jan 2006")
}

func moment(t, now time.Time) string {
	return dayWord(t, now) + ", " + t.In(now.Location()).Format("15:04")
}

// daysBetween counts midnights, so that tonight and tomorrow morning differ.
func daysBetween(a, b time.Time) int {
	da := time.Date(a.Year(), a.Month(), a.Day(), 12, 0, 0, 0, time.UTC)
	db := time.Date(b.Year(), b.Month(), b.Day(), 12, 0, 0, 0, time.UTC)
	return int(math.Round(db.Sub(da).Hours() / 24))
}

// pm is a figure of a quantity with its doubt and unit.
func pm(q standing.Quantity, e standing.Estimate) string {
	return units.FormatPM(units.Quantity(q.Name), e.Mean, e.SD, q.Unit)
}

// minus writes a leading hyphen as a true minus.
func minus(s string) string {
	if strings.HasPrefix(s, "-") {
		return "−" + s[1:]
	}
	return s
}

// figureThenWord is a figure and what it counts or measures: "12 L", "14 days".
var figureThenWord = regexp.MustCompile(`(\d) ([\pL°%])`)

// hyphenMinus is a hyphen that stands for a minus.
var hyphenMinus = regexp.MustCompile(`(^|[\s(])-(\d)`)

// tie keeps a figure on one line with its doubt and its unit, and gives it a true minus.
func tie(s string) string {
	s = hyphenMinus.ReplaceAllString(s, "$1−$2")
	s = strings.ReplaceAll(s, " ± ", "\u00a0±\u00a0")
	return figureThenWord.ReplaceAllString(s, "$1\u00a0$2")
}

// demandWords say which way a quantity goes on its own and how fast.
func demandWords(q standing.Quantity) string {
	d := q.Demand
	if d.SD <= 0 && d.Mean == 0 {
		return ""
	}
	verb := "uses "
	if d.Mean < 0 {
		verb, d.Mean = "gains ", -d.Mean
	}
	if d.Mean < d.SD {
		return "no clear demand (" + minus(pm(q, q.Demand)) + " a day)"
	}
	return verb + pm(q, d) + " a day"
}

// leavesWords say when a quantity leaves its band, and by which side.
func leavesWords(q standing.Quantity, now time.Time) string {
	if q.Simple || q.State == standing.Unknown || (q.Band.Low == nil && q.Band.High == nil) {
		return ""
	}
	return q.Leaves.Words(func(t time.Time) string { return dayWord(t, now) })
}

// bandWords are the band in figures: "7 to 9 dKH, aim 8".
func bandWords(q standing.Quantity) string {
	f := func(v float64) string {
		return strings.TrimSuffix(units.Format(units.Quantity(q.Name), v, q.Unit), " "+q.Unit)
	}
	b := q.Band
	var s string
	switch {
	case b.Low != nil && b.High != nil:
		s = f(*b.Low) + " to " + f(*b.High) + " " + q.Unit
	case b.Low != nil:
		s = "at least " + f(*b.Low) + " " + q.Unit
	case b.High != nil:
		s = "at most " + f(*b.High) + " " + q.Unit
	default:
		return "no band"
	}
	if b.Aim != nil {
		s += ", aim " + f(*b.Aim)
	}
	if !b.FromKeeper {
		s += " (usual for this kind of tank)"
	}
	return s
}

// nextTestWords say when to test next.
func nextTestWords(q standing.Quantity, now time.Time) string {
	if q.NextTest.On.IsZero() {
		return ""
	}
	if daysBetween(now, q.NextTest.On.In(now.Location())) < 0 {
		return "test overdue since " + dayWord(q.NextTest.On, now)
	}
	return "next test " + dayWord(q.NextTest.On, now)
}

// ago says how long since in whole days.
func ago(t, now time.Time) string {
	switch d := daysBetween(t.In(now.Location()), now); {
	case t.IsZero():
		return "never"
	case d <= 0:
		return "today"
	case d == 1:
		return "yesterday"
	default:
		return fmt.Sprintf("%d days ago", d)
	}
}
