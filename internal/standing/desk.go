package standing

import (
	"fmt"
	"hash/maphash"
	"runtime"
	"strings"
	"sync"
	"time"

	"driftline/internal/book"
	"driftline/internal/drift"
	"driftline/units"
)

// Desk works standings out and remembers them by what they depend on. It is
// safe for concurrent use. Facts given to it must not be changed afterwards.
type Desk struct {
	// Patience is how old a standing may be and still be given when no line has
	// touched it. Zero, the default, works out each moment anew; a page that is
	// opened again and again may allow some minutes. Set it before first use.
	Patience time.Duration

	seed  maphash.Seed
	slots chan struct{} // as many as there are processors

	mu     sync.Mutex
	kept   map[place][]*standingEntry // newest last
	tanks  map[string][]tankEntry     // newest last
	states []*stateEntry              // newest last
}

// How much a desk remembers: of each quantity and tank the standing asked for
// last, for with ten years of log they are large.
const (
	keptEach   = 1 // standings of one quantity
	keptTanks  = 1 // lists of one tank
	keptStates = 4 // engine states, for ledgers
)

type place struct {
	tank string
	q    units.Quantity
}

type standingEntry struct {
	digest uint64
	asOf   time.Time
	days   int
	once   sync.Once
	out    Quantity
}

// tankEntry remembers a tank's list for facts that say the very same.
type tankEntry struct {
	edition *book.Edition
	asOf    time.Time
	days    int
	out     []Quantity
}

type stateEntry struct {
	digest uint64
	asOf   time.Time
	once   sync.Once
	use    sync.Mutex
	state  *drift.State
	err    error
}

// NewDesk makes a desk that remembers nothing yet.
func NewDesk() *Desk {
	return &Desk{seed: maphash.MakeSeed(), slots: make(chan struct{}, runtime.GOMAXPROCS(0)),
		kept: map[place][]*standingEntry{}, tanks: map[string][]tankEntry{}}
}

// Tank gives every quantity of a tank that has a reading or a keeper's band, in
// the usual order, with a forecast of so many days. Lines after as-of are
// ignored. It fails when the tank is not declared.
func (d *Desk) Tank(f *book.Facts, tank string, asOf time.Time, days int) ([]Quantity, error) {
	t, err := tankOf(f, tank)
	if err != nil {
		return nil, err
	}
	horizon := max(days, leastHorizon)
	if out, ok := d.remembered(t, asOf, horizon); ok {
		return allCut(out, days), nil
	}
	s := newSurvey(f, t, newShelf(f), asOf)
	var matters []*matter
	for _, q := range s.quantities() {
		matters = append(matters, s.newMatter(q))
	}
	out := make([]Quantity, len(matters))
	var wait sync.WaitGroup
	for i, m := range matters {
		wait.Go(func() { out[i] = d.quantity(m, horizon) })
	}
	wait.Wait()
	d.remember(t, asOf, horizon, out)
	return allCut(out, days), nil
}

// Quantity gives one quantity of a tank, whether or not it was ever read.
func (d *Desk) Quantity(f *book.Facts, tank, quantity string, asOf time.Time, days int) (Quantity, error) {
	q, err := units.ParseQuantity(quantity)
	if err != nil {
		return Quantity{}, err
	}
	t, err := tankOf(f, tank)
	if err != nil {
		return Quantity{}, err
	}
	horizon := max(days, leastHorizon)
	if all, ok := d.remembered(t, asOf, horizon); ok {
		for _, have := range all {
			if have.Name == string(q) {
				return have.cut(days), nil
			}
		}
	}
	return d.quantity(newSurvey(f, t, newShelf(f), asOf).newMatter(q), horizon).cut(days), nil
}

// cut shortens the forecasts to so many days: what is worked out once looks far
// enough for all who ask.
func (q Quantity) cut(days int) Quantity {
	q.Forecast = q.Forecast[:min(len(q.Forecast), days+1)]
	q.HandsOff = q.HandsOff[:min(len(q.HandsOff), days+1)]
	return q
}

func allCut(all []Quantity, days int) []Quantity {
	out := make([]Quantity, len(all))
	for i, q := range all {
		out[i] = q.cut(days)
	}
	return out
}

// Ledger says where the change of a quantity over a span came from. The span is
// cut to the time between its first reading and the moment of the facts.
func (d *Desk) Ledger(f *book.Facts, tank, quantity string, from, to time.Time) (Ledger, error) {
	q, err := units.ParseQuantity(quantity)
	if err != nil {
		return Ledger{}, err
	}
	asOf := f.AsOf
	if asOf.IsZero() {
		asOf = to
	}
	tf, err := tankOf(f, tank)
	if err != nil {
		return Ledger{}, err
	}
	m := newSurvey(f, tf, newShelf(f), asOf).newMatter(q)
	if len(m.raw) == 0 {
		return Ledger{}, fmt.Errorf("%s of tank %q has no reading up to %s, so there is no ledger of it", q, m.tank, asOf.Format(time.DateOnly))
	}
	if first := m.raw[0].at; from.Before(first) {
		from = first
	}
	if to.After(asOf) {
		to = asOf
	}
	if !from.Before(to) {
		return Ledger{}, fmt.Errorf("the span from %s to %s is empty: expected one between the first reading, %s, and %s",
			from.Format(time.DateOnly), to.Format(time.DateOnly), m.raw[0].at.Format(time.DateOnly), asOf.Format(time.DateOnly))
	}
	if simple(q) {
		t := told{m: m, f: m.workPlain(dayOf(asOf), leastHorizon)}
		t.scale = newScale(q, m.unit, t.f.level.Mean)
		return t.plainLedger(from, to), nil
	}
	l, err := d.account(m, from, to)
	if err == nil && q == units.Alkalinity {
		d.nitrogen(f, &l, from, to)
	}
	return l, err
}

func (d *Desk) account(m *matter, from, to time.Time) (Ledger, error) {
	e := d.stateOf(m)
	e.use.Lock()
	defer e.use.Unlock()
	e.once.Do(func() { e.state, e.err = m.analyse(dayOf(m.asOf)) })
	if e.err != nil {
		return Ledger{}, fmt.Errorf("%s of tank %q: %w", m.q, m.tank, e.err)
	}
	a, err := e.state.Account(dayOf(from), dayOf(to))
	if err != nil {
		return Ledger{}, fmt.Errorf("%s of tank %q: %w", m.q, m.tank, err)
	}
	t := told{m: m, scale: newScale(m.q, m.unit, a.To.Mean)}
	l := t.ledger(a, from, to)
	if !l.sound() {
		return Ledger{}, fmt.Errorf("%s of tank %q: %w", m.q, m.tank, errNoPicture)
	}
	return l, nil
}

// stateOf finds or makes the place of an engine state.
func (d *Desk) stateOf(m *matter) *stateEntry {
	digest := m.digest(d.seed)
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, e := range d.states {
		if e.digest == digest && e.asOf.Equal(m.asOf) {
			return e
		}
	}
	e := &stateEntry{digest: digest, asOf: m.asOf}
	d.states = lastFew(append(d.states, e), keptStates)
	return e
}

func tankOf(f *book.Facts, tank string) (*book.TankFacts, error) {
	if t, ok := f.Tank(tank); ok {
		return t, nil
	}
	return nil, fmt.Errorf("tank %q is not declared; the book has %s", tank, tankNames(f))
}

func tankNames(f *book.Facts) string {
	var names []string
	for i := range f.Tanks {
		names = append(names, fmt.Sprintf("%q", f.Tanks[i].Tank.Name))
	}
	if len(names) == 0 {
		return "no tank yet"
	}
	return strings.Join(names, ", ")
}

// quantity works a matter out unless it was before.
func (d *Desk) quantity(m *matter, days int) Quantity {
	e := d.entry(m, days)
	e.once.Do(func() {
		d.slots <- struct{}{}
		defer func() { <-d.slots }()
		e.out = m.quantity(days)
	})
	return e.out
}

func (d *Desk) entry(m *matter, days int) *standingEntry {
	at, digest := place{book.Key(m.tank), m.q}, m.digest(d.seed)
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, e := range d.kept[at] {
		if e.digest == digest && e.days == days && fresh(e.asOf, m.asOf, d.Patience) {
			return e
		}
	}
	e := &standingEntry{digest: digest, asOf: m.asOf, days: days}
	d.kept[at] = lastFew(append(d.kept[at], e), keptEach)
	return e
}

func (d *Desk) remembered(t *book.TankFacts, asOf time.Time, days int) ([]Quantity, bool) {
	d.mu.Lock()
	defer d.mu.Unlock()
	for _, e := range d.tanks[book.Key(t.Tank.Name)] {
		if e.days == days && t.Edition != nil && e.edition == t.Edition && fresh(e.asOf, asOf, d.Patience) {
			return e.out, true
		}
	}
	return nil, false
}

func (d *Desk) remember(t *book.TankFacts, asOf time.Time, days int, out []Quantity) {
	d.mu.Lock()
	defer d.mu.Unlock()
	key := book.Key(t.Tank.Name)
	d.tanks[key] = lastFew(append(d.tanks[key], tankEntry{t.Edition, asOf, days, out}), keptTanks)
}

func lastFew[T any](all []T, n int) []T {
	if len(all) > n {
		return append([]T(nil), all[len(all)-n:]...)
	}
	return all
}
