package supply

import (
	"fmt"
	"math"
	"strings"
	"time"

	"driftline/internal/standing"
	"driftline/units"
)

// scale is a unit that an amount is shown in, and its size in g or mL.
type scale struct {
	unit string
	size float64
}

// scaleFor picks the unit of an amount: the keeper's where it is an ounce, a
// pound or a gallon, else the metric one of its size.
func scaleFor(v float64, base, shown string) scale {
	switch shown {
	case "oz", "lb":
		g, _ := units.Grams(1, shown)
		return scale{shown, g}
	case "US gal", "imp gal", "US fl oz":
		l, _ := units.Litres(1, shown)
		return scale{shown, l * 1000}
	}
	big, small := "kg", "mg"
	if base == "mL" {
		big, small = "L", ""
	}
	switch v = math.Abs(v); {
	case v >= 1000:
		return scale{big, 1000}
	case v < 0.1 && v > 0 && small != "":
		return scale{small, 1e-3}
	}
	return scale{base, 1}
}

// Words writes an amount in g or mL to three figures, in a unit of its size.
func Words(v float64, base string) string { return words(v, base, "") }

func words(v float64, base, shown string) string {
	s := scaleFor(v, base, shown)
	return units.FormatAmount(threeFigures(v/s.size)) + " " + s.unit
}

// doubted writes an amount with its doubt.
func doubted(e standing.Estimate, base, shown string) string {
	s := scaleFor(e.Mean, base, shown)
	if sd := e.SD / s.size; sd > 0 && e.SD >= 1e-3*math.Abs(e.Mean) {
		return units.FormatPM("", e.Mean/s.size, sd, s.unit)
	}
	return words(e.Mean, base, shown)
}

func threeFigures(v float64) float64 {
	if v == 0 {
		return 0
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-2)
	if step >= 1 {
		return math.Round(v/step) * step
	}
	n := math.Round(1 / step)
	return math.Round(v*n) / n
}

// Amount writes an amount of the item, in g or mL, as its keeper counts it.
func (it *Item) Amount(v float64) string { return words(v, it.Unit, it.shown) }

// LeftWords is what is left with its doubt.
func (it *Item) LeftWords() string { return doubted(it.Left, it.Unit, it.shown) }

// DailyWords is the lasting use a day with its doubt.
func (it *Item) DailyWords() string { return doubted(it.Daily, it.Unit, it.shown) }

// Scale is the unit that pictures of the item are drawn in, and its size in Unit.
func (it *Item) Scale() (unit string, size float64) {
	s := scaleFor(max(it.Left.Mean, it.Count+it.Added), it.Unit, it.shown)
	return s.unit, s.size
}

func (w *worker) date(t time.Time) string {
	if t.In(w.loc).Year() == w.today.Year() {
		return t.In(w.loc).Format("2 January")
	}
	return t.In(w.loc).Format("2 January 2006")
}

func (w *worker) weekday(t time.Time) string {
	if t.In(w.loc).Year() == w.today.Year() {
		return t.In(w.loc).Format("Monday 2 January")
	}
	return t.In(w.loc).Format("Monday 2 January 2006")
}

// told gives a user its sentence.
func (w *worker) told(j *jar, u User) User {
	name := u.Name
	switch u.What {
	case "beside the routines":
		name = "dosed beside any routine"
	case "made up":
		name = "made up into solutions"
	}
	if u.Tank != "" {
		name += ", " + u.Tank
	}
	switch {
	case u.Total > 0:
		u.Says = fmt.Sprintf("%s: %s in all, to %s", name, words(u.Total, j.unit, j.shown), w.date(*u.Ends))
	default:
		u.Says = fmt.Sprintf("%s: %s a week", name, words(u.AWeek, j.unit, j.shown))
	}
	if u.What == "routine" {
		if h := j.hands[u.Tank]; h != nil && h.turns >= 2 {
			if share, _, _ := h.habit(); math.Abs(share-1) >= 0.1 {
				u.Says += fmt.Sprintf(" as declared, %.0f %% of it by the log", 100*share)
			}
		}
	}
	u.Says += "."
	return u
}

// RunsOutWords says the day something runs out with its doubt.
func (it *Item) runsOutWords(w *worker) string {
	r := it.RunsOut
	switch {
	case r == nil || r.Expected == nil && r.Late == nil && w.dayOf(r.Early) > 365:
		return "lasts beyond a year"
	case r.Expected == nil:
		return fmt.Sprintf("lasts until %s at least, nineteen chances in twenty", w.date(r.Early))
	case w.dayOf(r.Early) == w.dayOf(*r.Expected) && r.Late != nil && w.dayOf(*r.Late) == w.dayOf(*r.Expected):
		return "runs out on " + w.weekday(*r.Expected)
	case r.Late == nil:
		return fmt.Sprintf("runs out about %s, not before %s (nineteen chances in twenty)", w.weekday(*r.Expected), w.date(r.Early))
	}
	return fmt.Sprintf("runs out about %s, nine chances in ten between %s and %s", w.weekday(*r.Expected), w.date(r.Early), w.date(*r.Late))
}

// say is the item's sentence.
func (it *Item) say(w *worker) {
	since := "It was never counted; this is reckoned from what came in"
	if it.Counted != nil {
		since = "Counted on " + w.date(*it.Counted)
	}
	switch {
	case len(it.Lines) == 0:
		it.Says = "Used, and never written on the shelf: what is left is not known."
	case it.State == CountAgain && it.Counted == nil:
		it.Says = fmt.Sprintf("%s more was used than ever came in: count it.", it.Amount(-it.Left.Mean))
	case it.State == CountAgain:
		it.Says = fmt.Sprintf("%s more was used than was there, counted on %s: count it again.", it.Amount(-it.Left.Mean), w.date(*it.Counted))
	case it.State == Empty:
		it.Says = fmt.Sprintf("Used up, by the log. %s.", since)
	case it.State == Unused:
		it.Says = fmt.Sprintf("%s left; nothing declared or logged of late uses it. %s.", it.LeftWords(), since)
	default:
		daily := ""
		if it.Daily.Mean > 0 {
			daily = fmt.Sprintf("%s a day; ", it.DailyWords())
		}
		it.Says = fmt.Sprintf("%s left; %s%s. %s.", it.LeftWords(), daily, it.runsOutWords(w), since)
	}
}

// holdWords says what it takes to hold out to the end of a day.
func (it *Item) holdWords(day string) string {
	h := it.Hold
	if h.Short > 0 {
		return fmt.Sprintf(" To the end of %s %s is needed, nineteen chances in twenty: get %s.", day, it.Amount(h.Safe), it.Amount(h.Short))
	}
	return fmt.Sprintf(" To the end of %s %s is needed, nineteen chances in twenty: there is enough.", day, it.Amount(h.Safe))
}

// say is the shelf in a sentence.
func (s *Shelf) say() {
	var short, again []string
	for _, i := range s.Items {
		switch i.State {
		case Low, Empty:
			short = append(short, i.Name)
		case CountAgain:
			again = append(again, i.Name)
		}
	}
	switch {
	case len(s.Items) == 0:
		s.Says = "Nothing is written on the shelf yet. Count what there is, and buy in time."
		return
	case len(short) > 0:
		s.Says = "Running low: " + strings.Join(short, ", ") + "."
	case len(again) == 0:
		s.Says = "Nothing runs low."
	}
	if len(again) > 0 {
		s.Says = strings.TrimSpace(s.Says + " To be counted again: " + strings.Join(again, ", ") + ".")
	}
}
