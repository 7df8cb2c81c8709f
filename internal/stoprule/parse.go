package stoprule

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"

	"driftline/units"
)

const example = `expected such as "polyp extension <= 1 twice running" or "nitrate > 20 mg/L NO3"`

// longest bounds what is looked at; a rule is one short line.
const longest = 300

var (
	shape   = regexp.MustCompile(`^([^<>≤≥]+?)\s*(<=|>=|≤|≥|<|>)\s*(-?[0-9]+(?:\.[0-9]+)?)(?:\s+(.*))?$`)
	repeats = regexp.MustCompile(`(?i)^(.*?)\s*\b(once|twice|thrice|[0-9]+ times)(?: running)?$`)
	signsOf = map[string]Comparison{"<=": AtMost, "≤": AtMost, ">=": AtLeast, "≥": AtLeast, "<": Below, ">": Above}
)

// Parse reads a rule in its short form: what it looks at, a comparison, a value,
// for a quantity its unit, and how many times running if more than once. A name
// that is that of a quantity is one; any other is a sign.
func Parse(text string) (Rule, error) {
	text = strings.Join(strings.Fields(text), " ")
	if len(text) > longest {
		return Rule{}, fmt.Errorf("the stop rule is longer than %d characters; %s", longest, example)
	}
	m := shape.FindStringSubmatch(text)
	if m == nil || strings.ContainsFunc(text, unicode.IsControl) {
		return Rule{}, fmt.Errorf("the stop rule %q is not understood; %s", clip(text), example)
	}
	r := Rule{Is: signsOf[m[2]], Times: 1}
	var err error
	if r.Value, err = strconv.ParseFloat(m[3], 64); err != nil {
		return Rule{}, fmt.Errorf("the value %s is not a number; %s", clip(m[3]), example)
	}
	rest := m[4]
	if again := repeats.FindStringSubmatch(rest); again != nil {
		rest, r.Times = again[1], times(again[2])
	}
	if q, err := units.ParseQuantity(m[1]); err == nil {
		if r.Quantity = q; rest == "" {
			return Rule{}, fmt.Errorf("the stop rule of %s has no unit; expected such as %q", q, string(q)+" "+m[2]+" "+m[3]+" "+q.Default())
		}
		if r.Unit, err = units.ParseUnit(q, rest); err != nil {
			return Rule{}, err
		}
		return r, r.check()
	}
	if r.Sign = m[1]; rest != "" {
		return Rule{}, fmt.Errorf("%q after the score of %s is not understood; %s", clip(rest), clip(r.Sign), example)
	}
	return r, r.check()
}

// ParseList reads rules parted by semicolons or line ends.
func ParseList(text string) ([]Rule, error) {
	var out []Rule
	for _, part := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' || r == '\r' }) {
		if strings.TrimSpace(part) == "" {
			continue
		}
		r, err := Parse(part)
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	if len(out) > mostTimes {
		return nil, fmt.Errorf("%d stop rules are too many to follow; expected at most %d", len(out), mostTimes)
	}
	return out, nil
}

func times(word string) int {
	switch strings.ToLower(word) {
	case "once":
		return 1
	case "twice":
		return 2
	case "thrice":
		return 3
	}
	n, err := strconv.Atoi(strings.TrimSuffix(strings.ToLower(word), " times"))
	if err != nil {
		return -1 // refused by check
	}
	return n
}

func clip(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
