package stoprule

import (
	"fmt"
	"sort"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Fired is a rule that what was logged has met.
type Fired struct {
	Rule  Rule
	At    time.Time // of the score or reading that met it
	Lines []string  // ids of the run that did
	Says  string    // "polyp extension scored 1 twice running"
}

// First is the rule that fired first from since on, by what was logged until
// as-of; of two at the same moment, the one that stands first.
func First(rules []Rule, t *book.TankFacts, since, asOf time.Time) (Fired, bool) {
	var first Fired
	found := false
	for _, r := range rules {
		if f, ok := r.Fired(t, since, asOf); ok && (!found || f.At.Before(first.At)) {
			first, found = f, true
		}
	}
	return first, found
}

// Fired says whether, and when first, as many values running as the rule asks for
// have met it, among those logged from since on until as-of.
func (r Rule) Fired(t *book.TankFacts, since, asOf time.Time) (Fired, bool) {
	first := sort.Search(len(t.Events), func(i int) bool { return !t.Events[i].At.Before(since) })
	var run []string
	var values []string
	for i := first; i < len(t.Events) && !t.Events[i].At.After(asOf); i++ {
		met, said, ok := r.look(t.Events[i].Body)
		if !ok {
			continue
		}
		if !met {
			run, values = nil, nil
			continue
		}
		run, values = append(run, t.Events[i].ID), append(values, said)
		if len(run) >= r.Times {
			return Fired{Rule: r, At: t.Events[i].At, Lines: run, Says: r.told(values)}, true
		}
	}
	return Fired{}, false
}

// look says whether a line is one the rule looks at, and whether it meets it.
func (r Rule) look(body book.Body) (met bool, said string, ok bool) {
	switch b := body.(type) {
	case *book.Score:
		v, isNumber := b.Value.Float()
		if r.Sign == "" || !isNumber || book.Key(b.Sign) != book.Key(r.Sign) {
			return false, "", false
		}
		return r.holds(v), plain(v), true
	case *book.Reading:
		q, err := units.ParseQuantity(b.Quantity)
		if r.Quantity == "" || err != nil || q != r.Quantity {
			return false, "", false
		}
		return r.lookAtReading(b)
	}
	return false, "", false
}

func (r Rule) lookAtReading(b *book.Reading) (met bool, said string, ok bool) {
	v, isNumber := b.Value.Float()
	if !isNumber {
		return false, "", false
	}
	x, err := units.Convert(r.Quantity, v, b.Unit, r.Unit)
	if err != nil {
		return false, "", false
	}
	said = units.Format(r.Quantity, x, r.Unit)
	if b.Below { // somewhere under x
		return (r.Is == Below || r.Is == AtMost) && x <= r.Value, "under " + said, true
	}
	return r.holds(x), said, true
}

// slack keeps a value that was converted between units from missing its equal.
const slack = 1e-9

func (r Rule) holds(v float64) bool {
	near := slack * max(1, abs(r.Value))
	switch r.Is {
	case AtMost:
		return v <= r.Value+near
	case AtLeast:
		return v >= r.Value-near
	case Above:
		return v > r.Value+near
	case Below:
		return v < r.Value-near
	}
	return false
}

func abs(v float64) float64 {
	if v < 0 {
		return -v
	}
	return v
}

// told says what met the rule: the values, once where they are alike.
func (r Rule) told(values []string) string {
	verb := "scored"
	if r.Quantity != "" {
		verb = "read"
	}
	same := true
	for _, v := range values {
		same = same && v == values[0]
	}
	switch {
	case len(values) == 1:
		return fmt.Sprintf("%s %s %s", r.of(), verb, values[0])
	case same:
		return fmt.Sprintf("%s %s %s %s", r.of(), verb, values[0], running(len(values)))
	}
	text := values[0]
	for i, v := range values[1:] {
		if i == len(values)-2 {
			text += " and " + v
		} else {
			text += ", " + v
		}
	}
	return fmt.Sprintf("%s %s %s running", r.of(), verb, text)
}
