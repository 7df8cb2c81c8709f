package animals

import (
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// Animal is one, a pair, a school or a colony as of a moment.
type Animal struct {
	Name, Species, Group string
	Tank                 string // where it is now
	Line                 string // that told of it first
	Since                time.Time
	Count                float64
	Counted              bool    // whether anybody has said how many there are
	Grams, Centimetres   float64 // of one; 0 when nobody has said
	Origin, Parent       string
	Price                float64
	Currency             string
	Counts               []Count // over time, oldest first
	Losses               []Loss
	Stage                string // of book.AnimalStages; "" when the way in was never told
	StageSince           time.Time
	Stages               []Passed // all of them, oldest first
	Looks                []Look
	Outbreaks            []time.Time
	Treatments           []Treatment
}

// Count is how many there were.
type Count struct {
	At time.Time
	N  float64
}

// Loss is animals that are no more, or went elsewhere.
type Loss struct {
	At    time.Time
	N     float64
	What  string // "died", "missing", "given away"
	Cause string
	Line  string
}

// Passed is a stage that was entered.
type Passed struct {
	Stage, Tank string
	At          time.Time
}

// Look is a round of scores, -1 where one was not given.
type Look struct {
	At                                         time.Time
	Feeding, Breathing, Skin, Aggression, Open float64
}

// Treatment is what was ordered, as written down.
type Treatment struct {
	At              time.Time
	What, OrderedBy string
}

// Here says whether any are left, of those that have come.
func (a *Animal) Here() bool { return a.left() && a.Stage != "planned" }

func (a *Animal) left() bool { return !a.Counted || a.Count > 0 }

// Register replays the animals of a book up to a moment, in the order they were told.
func Register(f *book.Facts, at time.Time) []*Animal {
	type told struct {
		line *book.Line
		tank string
	}
	var lines []told
	for i := range f.Tanks {
		t := &f.Tanks[i]
		for k := range t.Events {
			l := &t.Events[k]
			if b, ok := l.Body.(*book.Animal); ok && strings.TrimSpace(b.Name) != "" && !l.At.After(at) {
				lines = append(lines, told{l, t.Tank.Name})
			}
		}
	}
	slices.SortStableFunc(lines, func(a, b told) int { return a.line.At.Compare(b.line.At) })
	var out []*Animal
	byName := map[string]*Animal{}
	for _, l := range lines {
		b := l.line.Body.(*book.Animal)
		key := book.Key(b.Name)
		a := byName[key]
		if a == nil {
			a = &Animal{Name: strings.TrimSpace(b.Name), Tank: l.tank, Line: l.line.ID, Since: l.line.At}
			byName[key], out = a, append(out, a)
		}
		a.tell(f, l.line, l.tank, b)
	}
	return out
}

// tell takes in one line.
func (a *Animal) tell(f *book.Facts, l *book.Line, tank string, b *book.Animal) {
	a.describe(b)
	n, counted := b.Count.Float()
	lost := func(what string) {
		if !counted {
			if n = a.Count; !a.Counted {
				n = 1
			}
		}
		a.Losses = append(a.Losses, Loss{l.At, n, what, strings.TrimSpace(b.Cause), l.ID})
		if a.Counted {
			a.Count = math.Max(a.Count-n, 0)
		} else {
			a.Count, a.Counted = 0, true
		}
		a.Counts = append(a.Counts, Count{l.At, a.Count})
	}
	if what := book.Key(b.What); what == "" || what == "stage" {
		a.Tank = tank // it is where it was said to be
	}
	switch what := book.Key(b.What); what {
	case "died", "missing", "given away":
		lost(what)
	case "split":
		if counted && a.Counted {
			a.Count = math.Max(a.Count-n, 0)
			a.Counts = append(a.Counts, Count{l.At, a.Count})
		}
	case "moved":
		a.Tank = strings.TrimSpace(b.To) // of this book or of another
		if t, ok := f.Tank(b.To); ok {
			a.Tank = t.Tank.Name
		}
	case "outbreak":
		a.Outbreaks = append(a.Outbreaks, l.At)
	case "treated":
		a.Treatments = append(a.Treatments, Treatment{l.At, b.Treatment, b.OrderedBy})
	default:
		if counted {
			a.Count, a.Counted = n, true
			a.Counts = append(a.Counts, Count{l.At, n})
		}
	}
	if b.Stage != "" {
		a.Stage, a.StageSince = book.Key(b.Stage), l.At
		a.Stages = append(a.Stages, Passed{a.Stage, a.Tank, l.At})
	}
	if k := lookOf(l.At, b); k != (Look{At: l.At, Feeding: -1, Breathing: -1, Skin: -1, Aggression: -1, Open: -1}) {
		a.Looks = append(a.Looks, k)
	}
}

// describe takes over what a line says of the animal itself.
func (a *Animal) describe(b *book.Animal) {
	for _, f := range []struct{ to, from *string }{{&a.Species, &b.Species}, {&a.Origin, &b.Origin}, {&a.Parent, &b.Parent}, {&a.Currency, &b.Currency}} {
		if text := strings.TrimSpace(*f.from); text != "" {
			*f.to = text
		}
	}
	if b.Group != "" {
		a.Group = book.Key(b.Group)
	}
	if v, ok := b.Price.Float(); ok {
		a.Price = v
	}
	if v, ok := b.Mass.Float(); ok {
		if g, err := units.Grams(v, b.MassUnit); err == nil {
			a.Grams = g
		}
	}
	if v, ok := b.Size.Float(); ok {
		if cm, err := units.Centimetres(v, b.SizeUnit); err == nil {
			a.Centimetres = cm
		}
	}
}

func lookOf(at time.Time, b *book.Animal) Look {
	score := func(n book.Number) float64 {
		if v, ok := n.Float(); ok {
			return v
		}
		return -1
	}
	return Look{at, score(b.Feeding), score(b.Breathing), score(b.Skin), score(b.Aggression), score(b.Open)}
}
