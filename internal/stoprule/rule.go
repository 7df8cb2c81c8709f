package stoprule

import (
	"fmt"
	"strconv"
	"strings"

	"driftline/internal/book"
	"driftline/units"
)

// Comparison is how a value stands to that of a rule.
type Comparison string

// The comparisons, as the log spells them.
const (
	AtMost  Comparison = "at most"
	AtLeast Comparison = "at least"
	Above   Comparison = "above"
	Below   Comparison = "below"
)

// Rule is one rule, of a sign or of a quantity.
type Rule struct {
	Sign     string         // or
	Quantity units.Quantity // with Unit
	Unit     string
	Is       Comparison
	Value    float64
	Times    int // running, 1 or more
}

// mostTimes is the longest run that can be asked for.
const mostTimes = 20

// Of is the rule of a line of the log.
func Of(b book.StopRule) (Rule, error) {
	r := Rule{Sign: strings.TrimSpace(b.Sign), Is: Comparison(book.Key(b.Is)), Times: 1}
	var ok bool
	if r.Value, ok = b.Value.Float(); !ok {
		return Rule{}, fmt.Errorf("the stop rule has no value; expected a number")
	}
	if times, ok := b.Times.Float(); ok {
		r.Times = int(times)
	}
	if b.Quantity != "" {
		var err error
		if r.Quantity, err = units.ParseQuantity(b.Quantity); err != nil {
			return Rule{}, err
		}
		if r.Unit, err = units.ParseUnit(r.Quantity, b.Unit); err != nil {
			return Rule{}, err
		}
	}
	return r, r.check()
}

// All are the rules of a list, those that cannot be read left out: a line that
// was taken into the book has none of these.
func All(list []book.StopRule) []Rule {
	var out []Rule
	for _, b := range list {
		if r, err := Of(b); err == nil {
			out = append(out, r)
		}
	}
	return out
}

func (r Rule) check() error {
	switch {
	case (r.Sign == "") == (r.Quantity == ""):
		return fmt.Errorf("the stop rule needs a sign or a quantity; expected such as \"polyp extension <= 1 twice running\"")
	case r.Is != AtMost && r.Is != AtLeast && r.Is != Above && r.Is != Below:
		return fmt.Errorf("the stop rule compares by %q; expected <=, >=, < or >", string(r.Is))
	case r.Times < 1 || r.Times > mostTimes:
		return fmt.Errorf("%d times running is not possible; expected 1 to %d", r.Times, mostTimes)
	case r.Sign != "" && !(r.Value >= 0 && r.Value <= 4):
		return fmt.Errorf("a score of %s is not possible; expected 0 to 4", plain(r.Value))
	case r.Sign != "":
		return nil
	}
	return units.Check(r.Quantity, r.Value, r.Unit)
}

// Line is the rule as the log keeps it.
func (r Rule) Line() book.StopRule {
	b := book.StopRule{Sign: r.Sign, Quantity: string(r.Quantity), Is: string(r.Is), Value: book.Number(plain(r.Value)), Unit: r.Unit}
	if r.Times > 1 {
		b.Times = book.Number(strconv.Itoa(r.Times))
	}
	return b
}

// Lines are rules as the log keeps them.
func Lines(rules []Rule) []book.StopRule {
	var out []book.StopRule
	for _, r := range rules {
		out = append(out, r.Line())
	}
	return out
}

var marks = map[Comparison]string{AtMost: "<=", AtLeast: ">=", Above: ">", Below: "<"}

// String is the rule in its short form, which Parse reads.
func (r Rule) String() string {
	s := r.of() + " " + marks[r.Is] + " " + plain(r.Value)
	if r.Unit != "" {
		s += " " + r.Unit
	}
	if r.Times > 1 {
		s += " " + running(r.Times)
	}
	return s
}

// Says is the rule in words, for a sentence that begins with "when".
func (r Rule) Says() string {
	s := fmt.Sprintf("%s is scored %s %s", r.Sign, r.Is, plain(r.Value))
	if r.Is == AtMost && r.Value == 0 || r.Is == AtLeast && r.Value == 4 { // the ends of the scale
		s = fmt.Sprintf("%s is scored %s", r.Sign, plain(r.Value))
	}
	if r.Quantity != "" {
		s = fmt.Sprintf("%s is read %s %s", r.Quantity, r.Is, units.Format(r.Quantity, r.Value, r.Unit))
	}
	switch {
	case r.Times == 2:
		s += " " + running(2)
	case r.Times > 2:
		s += ", " + running(r.Times)
	}
	return s
}

func (r Rule) of() string {
	if r.Quantity != "" {
		return string(r.Quantity)
	}
	return r.Sign
}

func running(times int) string {
	if times == 2 {
		return "twice running"
	}
	return strconv.Itoa(times) + " times running"
}

func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
