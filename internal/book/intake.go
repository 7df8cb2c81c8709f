package book

import (
	"context"
	"hash/maphash"
	"time"
)

// intake takes lines into a store in the order they come. A line that speaks of
// a tank or corrects a line that is not known yet waits, with all behind it,
// for the rest of the file; what it waits for in vain refuses it.
type intake struct {
	ctx   context.Context
	store Store
	opt   ImportOptions
	check validator

	book   map[string]*Line   // lines of the book by id
	seen   map[string]*record // lines of the file by id
	tanks  map[string]bool    // by Key
	zones  map[string]string  // time zone of each tank of the book, by Key
	seed   maphash.Seed
	queue  []*arrival
	bytes  int
	needs  map[need][]*arrival
	report Report
	text   []byte
}

// record is what is remembered of a line that has arrived.
type record struct {
	sum   uint64 // of what it says
	ready bool   // waits for nothing
}

type need struct {
	tank bool // else an id
	key  string
}

type arrival struct {
	line    Line
	number  int
	size    int
	missing int
}

func newIntake(ctx context.Context, s Store, opt ImportOptions) (*intake, error) {
	if opt.Now.IsZero() {
		opt.Now = time.Now()
	}
	lines, err := s.Lines(ctx)
	if err != nil {
		return nil, err
	}
	in := &intake{ctx: ctx, store: s, opt: opt, check: validator{now: opt.Now, ahead: AheadImported},
		book: make(map[string]*Line, len(lines)), seen: map[string]*record{}, tanks: map[string]bool{}, zones: map[string]string{},
		seed: maphash.MakeSeed(), needs: map[need][]*arrival{}}
	for i := range lines {
		in.book[lines[i].ID] = &lines[i]
		in.declares(&lines[i])
	}
	return in, nil
}

func (in *intake) declares(l *Line) {
	if b, ok := l.Body.(*Tank); ok {
		in.tanks[Key(b.Name)] = true
		in.zones[Key(b.Name)] = b.TimeZone
	}
}

func (in *intake) refuse(number int, err error) {
	if len(in.report.Refused) >= refusalsListed {
		in.report.Unlisted++
		return
	}
	in.report.Refused = append(in.report.Refused, Refusal{Line: number, Field: fieldOf(err), Reason: err.Error()})
}

// add takes one line of the file; an error means that the store failed.
func (in *intake) add(number int, l Line) error {
	if err := in.check.line(&l); err != nil {
		in.refuse(number, err)
		return nil
	}
	var err error
	if in.text, err = appendLine(in.text[:0], l, false); err != nil {
		in.refuse(number, err)
		return nil
	}
	if l.ID == "" {
		l.ID = contentID(in.text)
	}
	if known, err := in.known(l.ID); err != nil || known {
		if err != nil {
			in.refuse(number, err)
		} else {
			in.report.Skipped++
		}
		return nil
	}
	in.seen[l.ID] = &record{sum: in.sum(in.text)}
	if l.At.After(in.opt.Now.Add(Ahead)) {
		in.report.Later++
	}
	in.enqueue(&arrival{line: l, number: number, size: len(in.text) + 400})
	return in.flush()
}

func (in *intake) sum(text []byte) uint64 { return maphash.Bytes(in.seed, text) }

// known says whether the id is taken by a line that says the same as in.text;
// one that says something else is an error, for a line is never changed.
func (in *intake) known(id string) (bool, error) {
	if r, ok := in.seen[id]; ok {
		if r.sum == in.sum(in.text) {
			return true, nil
		}
		return false, faultf("id", "id %q is given to another line of this file; every line has its own", clip(id))
	}
	old, ok := in.book[id]
	if !ok {
		return false, nil
	}
	text, err := appendLine(nil, *old, false)
	if err != nil || string(text) != string(in.text) {
		return false, faultf("id", "id %q is in the book with other content; a correction is a new line with replaces", clip(id))
	}
	return true, nil
}

func (in *intake) enqueue(a *arrival) {
	in.queue = append(in.queue, a)
	in.bytes += a.size
	l := &a.line
	if l.Tank != "" && l.Kind != KindTank {
		in.await(a, need{tank: true, key: Key(l.Tank)})
	}
	if l.Replaces != "" {
		in.await(a, need{key: l.Replaces})
	}
	if a.missing == 0 {
		in.settle(a)
	}
}

func (in *intake) await(a *arrival, n need) {
	if n.tank && in.tanks[n.key] || !n.tank && in.has(n.key) {
		return
	}
	a.missing++
	in.needs[n] = append(in.needs[n], a)
}

// has says whether a line is in the book or has arrived and waits for nothing.
func (in *intake) has(id string) bool {
	if _, ok := in.book[id]; ok {
		return true
	}
	r := in.seen[id]
	return r != nil && r.ready
}

// settle releases what waited for the line, and in turn what waited for that.
func (in *intake) settle(a *arrival) {
	ready := []*arrival{a}
	for len(ready) > 0 {
		l := &ready[len(ready)-1].line
		ready = ready[:len(ready)-1]
		in.declares(l)
		in.seen[l.ID].ready = true
		ready = in.release(ready, need{key: l.ID})
		if b, ok := l.Body.(*Tank); ok {
			ready = in.release(ready, need{tank: true, key: Key(b.Name)})
		}
	}
}

func (in *intake) release(ready []*arrival, n need) []*arrival {
	for _, a := range in.needs[n] {
		if a.missing--; a.missing == 0 {
			ready = append(ready, a)
		}
	}
	delete(in.needs, n)
	return ready
}
