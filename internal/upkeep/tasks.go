package upkeep

import (
	"cmp"
	"math"
	"slices"
	"strings"
	"time"

	"driftline/internal/book"
)

// Task is one thing that needs doing again and again.
type Task struct {
	Tank    string // "" for an instrument, which belongs to no tank
	Thing   string
	Do      string
	Every   float64 // days
	Low     float64 // of what is usual
	High    float64
	Own     bool      // Every is the keeper's own rhythm
	Last    time.Time // zero when it was never written down
	Since   time.Time // from which it counts: Last, else the declaration
	Next    time.Time
	Found   string // what the interval was adapted to, "it had lost 20 % in 120 days"; "" when nothing was found
	Parts   []Part // of a medium that were renewed, oldest first
	InParts bool   // it is never renewed all at once
	Caution string
	Chore   string // the chore's name that would do it
}

// Late is how many of its intervals it is past due; negative before.
func (t Task) Late(at time.Time) float64 { return at.Sub(t.Next).Hours() / 24 / t.Every }

// done are the moments of each chore of a tank, by key, oldest first.
func done(t *book.TankFacts, at time.Time) map[string][]turn {
	out := map[string][]turn{}
	for i := range t.Events {
		if b, ok := t.Events[i].Body.(*book.Chore); ok && !t.Events[i].At.After(at) {
			key := book.Key(b.Name)
			replaced, _ := b.Replaced.Float()
			lost, _ := b.Lost.Float()
			out[key] = append(out[key], turn{t.Events[i].At, replaced / 100, lost / 100})
		}
	}
	return out
}

// Tasks lists what a tank's equipment needs, soonest first. What a declared routine
// asks for already is left out.
func Tasks(t *book.TankFacts, at time.Time) []Task {
	chores := done(t, at)
	var out []Task
	for _, e := range newestOf(t.Equipment, func(b *book.Equipment) string { return b.Name }) {
		words := book.Key(e.Body.Name) + " " + book.Key(e.Body.Type)
		for _, n := range ofEquipment {
			if !anyIn(words, n.things) || scheduled(t, n, words) {
				continue
			}
			task := Task{Tank: t.Tank.Name, Thing: e.Body.Name, Do: n.do, Caution: n.caution, Chore: e.Body.Name + ": " + n.do}
			task.count(n, e.From, matching(chores, n, words))
			out = append(out, task)
		}
	}
	soonest(out)
	return out
}

// Instruments lists what the instruments need, soonest first. Chores of any tank that
// name one count.
func Instruments(f *book.Facts, at time.Time) []Task {
	chores := map[string][]turn{}
	used := map[string]bool{}
	for i := range f.Tanks {
		for key, all := range done(&f.Tanks[i], at) {
			chores[key] = append(chores[key], all...)
		}
		for k := range f.Tanks[i].Events {
			l := &f.Tanks[i].Events[k]
			if b, ok := l.Body.(*book.Reading); ok && !l.At.After(at) && at.Sub(l.At) < 120*24*time.Hour {
				used[book.Key(b.Instrument)] = true
			}
		}
	}
	var out []Task
	for _, d := range newestOf(f.Instruments, func(b *book.Instrument) string { return b.Name }) {
		if d.From.After(at) || !used[book.Key(d.Body.Name)] {
			continue // a kit nobody uses any more needs nothing
		}
		for _, n := range ofInstruments {
			if !slices.Contains(n.things, book.Key(d.Body.Method)) {
				continue
			}
			task := Task{Thing: d.Body.Name, Do: n.do, Caution: n.caution, Chore: d.Body.Name + ": " + n.do}
			task.count(n, d.From, matching(chores, n, book.Key(d.Body.Name)))
			out = append(out, task)
		}
	}
	soonest(out)
	return out
}

func soonest(all []Task) {
	slices.SortStableFunc(all, func(a, b Task) int { return cmp.Or(a.Next.Compare(b.Next), strings.Compare(a.Thing, b.Thing)) })
}

// ownTurns is how often a chore must have been done for its own rhythm to count.
const ownTurns = 4

// count works out when it is due.
func (t *Task) count(n need, declared time.Time, turns []turn) {
	t.Every, t.Low, t.High, t.Since = n.every, n.low, n.high, declared
	slices.SortFunc(turns, func(a, b turn) int { return a.at.Compare(b.at) })
	if len(turns) > 0 {
		t.Last = turns[len(turns)-1].at
		t.Since = t.Last
	}
	if len(turns) >= ownTurns {
		if own := median(gaps(turns)); own > 0 {
			t.Every, t.Own = math.Min(own, 2*n.high), true
		}
	}
	t.adapt(turns)
	t.Next = t.Since.Add(time.Duration(t.Every * 24 * float64(time.Hour)))
	if t.InParts = n.parts; n.parts {
		t.inParts(turns)
	}
}

// matching are the turns of chores that do a need of a thing: those that name a word
// of the thing and one of the need, or the whole of the task.
func matching(chores map[string][]turn, n need, words string) []turn {
	var out []turn
	for key, turns := range chores {
		if namesThing(key, words) && anyIn(key, append(n.verbs, book.Key(n.do))) {
			out = append(out, turns...)
		}
	}
	return out
}

// namesThing says whether a chore names a thing: one of its words of four letters or
// more.
func namesThing(chore, words string) bool {
	for _, w := range strings.FieldsFunc(words, func(r rune) bool { return r == ' ' || r == ',' || r == '-' }) {
		if len(w) >= 4 && strings.Contains(chore, strings.TrimSuffix(w, "s")) {
			return true
		}
	}
	return false
}

func anyIn(text string, words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool { return strings.Contains(text, w) })
}

// scheduled says whether a routine asks for it already.
func scheduled(t *book.TankFacts, n need, words string) bool {
	return slices.ContainsFunc(t.Routines, func(d book.Declared[*book.Routine]) bool {
		key := book.Key(d.Body.Chore) + " " + book.Key(d.Body.Name)
		return book.Key(d.Body.Action) == "chore" && namesThing(key, words) && anyIn(key, n.verbs)
	})
}

func newestOf[T any](all []book.Declared[T], name func(T) string) []book.Declared[T] {
	var out []book.Declared[T]
	for _, d := range all {
		i := slices.IndexFunc(out, func(o book.Declared[T]) bool { return book.Key(name(o.Body)) == book.Key(name(d.Body)) })
		if i < 0 {
			out = append(out, d)
			continue
		}
		out[i] = d
	}
	return out
}

func gaps(turns []turn) []float64 {
	var out []float64
	for i := 1; i < len(turns); i++ {
		out = append(out, turns[i].at.Sub(turns[i-1].at).Hours()/24)
	}
	return out
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Clone(v)
	slices.Sort(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
