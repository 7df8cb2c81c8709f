package rehearsal

import (
	"context"
	"fmt"
	"io"
	"math"
	"strings"
	"sync"
)

// Round is one comparison: testing every so many days against the rule, with
// the same number of tests over all tanks (nearly: Tests tells).
type Round struct {
	Family string
	Name   string // "weekly", "fortnightly", "as often as the rule asks"
	Every  float64
	Fixed  Watch
	Ruled  Watch
}

// Contest compares the rule of the next test with testing at a fixed interval.
type Contest struct {
	Tanks  int
	Rounds []Round
}

// Compare watches o.Closed tanks, one quantity at a time, under both kinds of
// testing. A keeper notices an excursion when a test taken while the level is
// outside its band reads outside; he then acts at once, under every rule alike.
//
// For equal numbers of tests the waits of the rule are stretched by one factor
// a family, found by trying; the third round takes the rule as it is and gives
// the fixed interval its number of tests.
func Compare(ctx context.Context, o Options, rule Rule) (Contest, error) {
	o = o.filled()
	out := Contest{Tanks: o.Closed}
	for _, family := range Families {
		q, _ := ionOf(family)
		c := contest{ctx, o, q, rule}
		rounds, err := c.rounds()
		if err != nil {
			return out, err
		}
		out.Rounds = append(out.Rounds, rounds...)
	}
	return out, nil
}

type contest struct {
	ctx  context.Context
	o    Options
	q    ion
	rule Rule
}

func (c contest) rounds() ([]Round, error) {
	family := ionNames[c.q]
	own, err := c.ruled(1)
	if err != nil {
		return nil, err
	}
	every := own.Days / math.Max(1, float64(own.Tests))
	fixed, err := c.fixed(every)
	if err != nil {
		return nil, err
	}
	out := []Round{{family, "as often as the rule asks", every, fixed, own}}
	for _, r := range []Round{{Name: "weekly", Every: 7}, {Name: "fortnightly", Every: 14}} {
		r.Family = family
		if r.Fixed, err = c.fixed(r.Every); err != nil {
			return nil, err
		}
		if r.Ruled, err = c.matched(own, r.Fixed.Tests); err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, nil
}

// matched stretches the rule's waits until it asks for about so many tests.
func (c contest) matched(own Watch, tests int) (best Watch, err error) {
	best = own
	stretch := 1.0
	for range 4 {
		off := float64(best.Tests) / float64(max(1, tests))
		if math.Abs(off-1) < 0.05 {
			break
		}
		stretch *= off
		if best, err = c.ruled(stretch); err != nil {
			return best, err
		}
	}
	return best, nil
}

func (c contest) fixed(every float64) (Watch, error) {
	return c.over(func(d *draft) func() (float64, error) {
		return func() (float64, error) { return every, nil }
	})
}

func (c contest) ruled(stretch float64) (Watch, error) {
	return c.over(func(d *draft) func() (float64, error) {
		return func() (float64, error) {
			b := d.basin
			now := b.when(b.s.t)
			on, err := c.rule(inOrder(b.lines), b.name, ionNames[c.q], now)
			if err != nil {
				return 0, fmt.Errorf("%s, %s: %w", b.name, ionNames[c.q], err)
			}
			return stretch * on.Sub(now).Hours() / 24, nil
		}
	})
}

// over sums a watch over all tanks.
func (c contest) over(wait func(*draft) func() (float64, error)) (Watch, error) {
	found := make([]Watch, c.o.Closed)
	errs := make([]error, c.o.Closed)
	next := make(chan int)
	var wg sync.WaitGroup
	for range c.o.Worker {
		wg.Go(func() {
			for i := range next {
				d := draw(c.o.Seed+uint64(i), c.o.World, Origin)
				found[i], errs[i] = d.watch(c.q, wait(d))
			}
		})
	}
	for i := 0; i < c.o.Closed && c.ctx.Err() == nil; i++ {
		next <- i
	}
	close(next)
	wg.Wait()
	var sum Watch
	for i := range found {
		if errs[i] != nil {
			return sum, errs[i]
		}
		sum.merge(found[i])
	}
	return sum, c.ctx.Err()
}

// Write prints the contest as a table.
func (c Contest) Write(w io.Writer) error {
	var b strings.Builder
	fmt.Fprintf(&b, "The rule of the next test, %d tanks: days a tank and year outside the band before a test showed it\n\n", c.Tanks)
	fmt.Fprintf(&b, "%-11s %-26s %7s | %11s %11s | %8s %8s %7s\n", "quantity", "tests", "every d", "tests fixed", "tests ruled", "fixed", "ruled", "ratio")
	for _, r := range c.Rounds {
		f, u := r.Fixed, r.Ruled
		fmt.Fprintf(&b, "%-11s %-26s %7.1f | %11d %11d | %8.1f %8.1f %7.2f\n", r.Family, r.Name, r.Every, f.Tests, u.Tests,
			365*f.Unseen/f.Days, 365*u.Unseen/u.Days, u.Unseen/f.Unseen)
	}
	_, err := io.WriteString(w, b.String())
	return err
}
