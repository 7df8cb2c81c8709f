package trial

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/units"
)

// kinds are what an outcome can be, by the word the log has for it.
var kinds = []string{"reading", "score", "interval", "count", "peak"}

// kindOf is how an outcome's figures are compared.
func kindOf(o book.Outcome) effect.Outcome {
	switch book.Key(o.What) {
	case "score":
		return effect.Score
	case "interval":
		return effect.Interval
	case "count":
		return effect.Count
	}
	return effect.Reading
}

// Label names an outcome: "nitrate", "days between glass cleanings".
func Label(o book.Outcome) string {
	switch book.Key(o.What) {
	case "score":
		return o.Of + ", scored 0 to 4"
	case "interval":
		return "days between one " + o.Of + " and the next"
	case "count":
		return o.Of + ", times a week"
	case "peak":
		return "highest " + o.Of + " of a day"
	}
	return o.Of
}

// unitOf is the unit its effect is told in.
func unitOf(o book.Outcome) string {
	switch kindOf(o) {
	case effect.Score:
		return "points"
	case effect.Interval, effect.Count:
		return "times"
	}
	if q, err := units.ParseQuantity(o.Of); err == nil && o.Unit == "" {
		return q.Default()
	}
	return o.Unit
}

// Hope says what is hoped for: "to fall by 0.5 points or more".
func Hope(o book.Outcome) string {
	m := string(o.Matters)
	switch {
	case m == "":
		return "to " + book.Key(o.Hoped)
	case kindOf(o).Ratio() && book.Key(o.Hoped) == "fall":
		return "to fall to 1/" + m + " of what it was or less"
	case kindOf(o).Ratio():
		return "to rise to " + m + " times what it was or more"
	}
	return fmt.Sprintf("to %s by %s %s or more", book.Key(o.Hoped), m, unitOf(o))
}

// ParseOutcome reads an outcome in its short form: what it is (left out for a
// quantity's readings), of what, rise or fall, the least that matters with its
// unit, how often it is looked at. "score film fall by 0.5 every 3",
// "nitrate fall by 1 mg/L NO3 every 7", "interval clean glass rise by 1.3".
func ParseOutcome(text string) (book.Outcome, error) {
	const shape = `expected such as "nitrate fall by 1 mg/L NO3 every 7", "score film fall by 0.5", "interval clean glass rise by 1.3"`
	var o book.Outcome
	words := strings.Fields(text)
	if len(words) > 0 && slices.Contains(kinds, strings.ToLower(words[0])) {
		o.What, words = strings.ToLower(words[0]), words[1:]
	}
	at := slices.IndexFunc(words, func(w string) bool {
		return slices.Contains([]string{"rise", "rises", "fall", "falls"}, strings.ToLower(w))
	})
	if at < 1 {
		return o, fmt.Errorf("outcome %q does not say what should rise or fall: %s", text, shape)
	}
	o.Of, o.Hoped = strings.Join(words[:at], " "), strings.TrimSuffix(strings.ToLower(words[at]), "s")
	rest := words[at+1:]
	if i := slices.Index(rest, "every"); i >= 0 {
		days := strings.TrimSuffix(strings.TrimSpace(strings.TrimSuffix(strings.Join(rest[i+1:], " "), "days")), "d")
		if v, err := strconv.ParseFloat(strings.TrimSpace(days), 64); err != nil || !(v > 0 && v <= 366) {
			return o, fmt.Errorf("outcome %q: every %s is not a number of days: %s", text, days, shape)
		}
		o.EveryDays, rest = book.Number(strings.TrimSpace(days)), rest[:i]
	}
	if err := readRest(&o, rest); err != nil {
		return o, fmt.Errorf("outcome %q: %w: %s", text, err, shape)
	}
	return o, nil
}

// readRest reads what comes after rise or fall, and settles quantity and unit.
func readRest(o *book.Outcome, rest []string) error {
	unit := ""
	if len(rest) > 0 {
		if len(rest) < 2 || strings.ToLower(rest[0]) != "by" {
			return fmt.Errorf("%q is not understood", strings.Join(rest, " "))
		}
		number := strings.Replace(rest[1], ",", ".", 1)
		if v, err := strconv.ParseFloat(number, 64); err != nil || !(v > 0 && v < 1e9) {
			return fmt.Errorf("%q is not a difference above 0", rest[1])
		}
		o.Matters, unit = book.Number(number), strings.Join(rest[2:], " ")
	}
	q, err := units.ParseQuantity(o.Of)
	if o.What == "" {
		if err != nil {
			return fmt.Errorf("%q is no quantity; begin with score, interval, count or peak for anything else", o.Of)
		}
		o.What = "reading"
	}
	if o.What != "reading" && o.What != "peak" {
		return nil
	}
	if err != nil {
		return fmt.Errorf("%q is no quantity", o.Of)
	}
	o.Of = string(q)
	if unit == "" && o.Matters != "" {
		return fmt.Errorf("the difference that matters has no unit")
	}
	o.Unit = q.Default()
	if unit != "" {
		if o.Unit, err = units.ParseUnit(q, unit); err != nil {
			return err
		}
	}
	return nil
}
