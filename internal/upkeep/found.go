package upkeep

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"driftline/internal/book"
)

// turn is one time that a chore was done.
type turn struct {
	at       time.Time
	replaced float64 // share of a medium, 0 when nobody said
	lost     float64 // share of what it gave that was gone by then, 0 when nobody said
}

// tolerable is what a device may lose before it wants its care: judgement.
const tolerable = 0.15

// adapt moves the interval to when the tolerable part is lost, by what was found the
// last times: each finding counts as much as what is usual.
func (t *Task) adapt(turns []turn) {
	sum, n := math.Log(t.Every), 1.0
	for i := max(1, len(turns)-3); i < len(turns); i++ {
		days := turns[i].at.Sub(turns[i-1].at).Hours() / 24
		if lost := turns[i].lost; lost > 0 && days > 0 {
			sum += math.Log(days * tolerable / lost)
			n++
			t.Found = fmt.Sprintf("it had lost %.0f %% in %s, on %s", 100*lost, days1(days), turns[i].at.Format("2 January"))
		}
	}
	if n == 1 {
		return
	}
	t.Every = math.Min(math.Max(math.Exp(sum/n), t.Low/2), 2*t.High)
}

func days1(v float64) string {
	if math.Round(v) == 1 {
		return "a day"
	}
	return fmt.Sprintf("%.0f days", v)
}

// apart is how long to wait from one part of a medium to the next, in days: what lives
// in it must settle the new part first (common practice: months).
const apart = 60

// inParts tells how much of a medium was renewed of late, and keeps the parts apart.
func (t *Task) inParts(turns []turn) {
	if len(turns) == 0 {
		return
	}
	sum := 0.0
	for i := len(turns) - 1; i >= 0 && sum < 1-1e-9; i-- {
		if turns[i].replaced <= 0 {
			break
		}
		sum += turns[i].replaced
		t.Parts = append(t.Parts, Part{turns[i].at, turns[i].replaced})
	}
	slices.Reverse(t.Parts)
	if least := t.Last.AddDate(0, 0, apart); t.Next.Before(least) {
		t.Next = least
	}
}

// Part is a part of a medium that was renewed.
type Part struct {
	At    time.Time
	Share float64
}

// Renewed is the share of a medium that the parts come to, 1 at most.
func (t Task) Renewed() float64 {
	sum := 0.0
	for _, p := range t.Parts {
		sum += p.Share
	}
	return math.Min(sum, 1)
}

// Expiry is something whose date on the label is near or over.
type Expiry struct {
	What string
	On   time.Time
}

// expirySoon is how long before its date a thing is told of.
const expirySoon = 45 * 24 * time.Hour

// Expiring lists kits and jars whose date on the label is near or over, soonest first.
// The newest word on each counts.
func Expiring(f *book.Facts, at time.Time) []Expiry {
	last := map[string]Expiry{}
	note := func(what string, told time.Time, on *time.Time) {
		if told.After(at) {
			return
		}
		if on == nil {
			delete(last, book.Key(what))
			return
		}
		last[book.Key(what)] = Expiry{what, *on}
	}
	for _, d := range newestOf(f.Instruments, func(b *book.Instrument) string { return b.Name + "|" + b.Quantity }) {
		if d.Body.Expires != nil {
			note(d.Body.Name, d.From, d.Body.Expires)
		}
	}
	for i := range f.Stock {
		if b, ok := f.Stock[i].Body.(*book.Stock); ok && (b.Expires != nil || !b.Added) {
			note(b.Substance, f.Stock[i].At, b.Expires)
		}
	}
	var out []Expiry
	for _, e := range last {
		if e.On.Before(at.Add(expirySoon)) {
			out = append(out, e)
		}
	}
	slices.SortFunc(out, func(a, b Expiry) int { return cmp.Or(a.On.Compare(b.On), cmp.Compare(a.What, b.What)) })
	return out
}
