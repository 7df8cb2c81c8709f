package rehearsal

import (
	"context"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"strings"
	"sync"
	"time"

	"driftline/internal/book"
)

// Fed is a world whose keepers write down what they feed, and change it once for
// good. It is not among Worlds: the others tell nothing of food.
const Fed World = "fed"

// served is what a keeper feeds and writes down.
type served struct {
	food    book.Food
	grams   float64 // a day, before the change
	changed float64 // day
	by      float64 // so many times as much from then on
	meals   int     // a day
	feeder  bool    // a machine feeds
	omits   float64 // share of the meals by hand that nobody writes down
}

func (s *served) on(day float64) float64 {
	if day >= s.changed {
		return s.grams * s.by
	}
	return s.grams
}

// Nitrate and phosphate that one gram of nitrogen or phosphorus makes (atomic weights).
const (
	nitratePerN   = 62.004 / 14.007
	phosphatePerP = 94.970 / 30.974
)

// serve takes the food of a drawn tank from what its keeper feeds. What of it ends
// in the water is the tank's own affair and drifts; portions err.
func (d *draft) serve(r *rand.Rand) {
	n := d.basin.n
	protein, phosphorus := between(r, 38, 56), between(r, 0.9, 1.8)
	s := &served{food: book.Food{Name: "house food", Protein: fixed(protein, 0), Phosphorus: fixed(phosphorus, 1)},
		changed: math.Floor(between(r, 0.4, 0.85) * float64(d.days)), by: pick(r, between(r, 0.35, 0.7), between(r, 1.4, 2.6)),
		meals: pick(r, 1, 2, 3), feeder: chance(r, 0.4), omits: between(r, 0, 0.12)}
	yieldN := between(r, 0.12, 0.75)
	made := mean(n.foodN) // of nitrate a day, as drawn
	s.grams = floatOf(fixed(made/(yieldN*protein/100*0.16*nitratePerN*1000/d.litres), 2))
	perN := s.grams * protein / 100 * 0.16 * nitratePerN * 1000 / n.litres * yieldN
	wholeP := s.grams * phosphorus / 100 * phosphatePerP * 1000 / n.litres
	perP := math.Max(0.03, math.Min(0.6, mean(n.foodP)/wholeP)) * wholeP
	n.takeP = scaled(n.takeP, math.Max(perP, 1e-4)/math.Max(mean(n.foodP), 1e-9)) // so that the level stays what it was
	slips := between(r, 0.02, 0.12)
	if !s.feeder {
		slips = between(r, 0.08, 0.3)
	}
	days := int(float64(len(n.foodN)-1) / stepsPerDay)
	unrest := wandering.path(r, days, slips)
	for i := range n.foodN {
		times := 1.0
		if float64(i)/stepsPerDay >= s.changed {
			times = s.by
		}
		n.foodN[i], n.foodP[i] = perN*times*unrest[i], perP*times*unrest[i]
	}
	d.served = s
}

// meals writes down what was fed.
func (d *draft) mealLines(r *rand.Rand) {
	b, s := d.basin, d.served
	b.log(book.Line{Kind: book.KindFood, At: b.when(0), Body: &s.food})
	if s.feeder {
		for _, from := range []float64{0, s.changed} {
			at := b.when(from)
			b.log(book.Line{Kind: book.KindRoutine, At: at, Tank: b.name, Body: &book.Routine{Name: "feeder", Action: "feeding", Food: s.food.Name,
				Amount: fixed(s.on(from)/float64(s.meals), 3), Unit: "g", EveryDays: number(1 / float64(s.meals)), Automatic: true, From: &at}})
		}
		return
	}
	for day := 0.0; day < float64(d.days); day++ {
		for m := range s.meals {
			if chance(r, s.omits) {
				continue
			}
			at := b.when(day + (8+float64(m)*5+r.Float64())/24)
			b.log(book.Line{Kind: book.KindFeeding, At: at, Tank: b.name, Body: &book.Feeding{Food: s.food.Name,
				Amount: fixed(s.on(day)/float64(s.meals), 2), Unit: "g"}})
		}
	}
}

// feedWaits are the days after a change of feeding at which it is forecast.
var feedWaits = []float64{2, 7, 14}

// AfterFeeding compares forecasts of nitrate and phosphate after a change of feeding,
// once from the whole log and once from the log without its food.
type AfterFeeding struct {
	Quantity        string
	Day             int // ahead
	Knowing, Nought Cell
}

// FeedingChanges judges o.Tanks tanks of the fed world at moments after their
// change of feeding. The base of the cells' score is the other's: Knowing.Ratio()
// is what knowing the food leaves of the score without it.
func FeedingChanges(ctx context.Context, o Options) ([]AfterFeeding, error) {
	o.World = Fed
	o = o.filled()
	found := make([][]AfterFeeding, o.Tanks)
	errs := make([]error, o.Tanks)
	next := make(chan int)
	var wg sync.WaitGroup
	for range o.Worker {
		wg.Go(func() {
			for i := range next {
				found[i], errs[i] = afterFeeding(o.Seed + uint64(i))
			}
		})
	}
	for i := 0; i < o.Tanks && ctx.Err() == nil; i++ {
		next <- i
	}
	close(next)
	wg.Wait()
	var out []AfterFeeding
	for i, list := range found {
		if errs[i] != nil {
			return nil, errs[i]
		}
		for _, a := range list {
			out = addFeeding(out, a)
		}
	}
	return out, ctx.Err()
}

func addFeeding(all []AfterFeeding, a AfterFeeding) []AfterFeeding {
	for i := range all {
		if all[i].Quantity == a.Quantity && all[i].Day == a.Day {
			all[i].Knowing.merge(a.Knowing)
			all[i].Nought.merge(a.Nought)
			return all
		}
	}
	return append(all, a)
}

func afterFeeding(seed uint64) ([]AfterFeeding, error) {
	tank := NewTankIn(Fed, seed)
	d := draw(seed, Fed, Origin)
	var without []book.Line
	for _, l := range tank.Lines {
		if b, ok := l.Body.(*book.Routine); l.Kind != book.KindFeeding && !(ok && b.Action == "feeding") {
			without = append(without, l)
		}
	}
	var out []AfterFeeding
	for _, wait := range feedWaits {
		asOf := tank.From.Add(time.Duration((d.served.changed + wait) * 24 * float64(time.Hour)))
		if asOf.After(tank.To) {
			continue
		}
		future, err := tank.After(asOf, Horizons[len(Horizons)-1], Declared)
		if err != nil {
			return nil, err
		}
		for _, q := range []ion{nit, pho} {
			seen := before(tank.tests[q], tank, asOf)
			if len(seen) < 3 {
				continue
			}
			var lists [2][]Sample
			for i, lines := range [][]book.Line{tank.Lines, without} {
				t := *tank
				t.Lines = lines
				if lists[i], err = t.judged(engineOn(Declared), q, asOf, future, seen, d.basin.kits[q]); err != nil {
					return nil, err
				}
			}
			for i, s := range lists[0] {
				a := AfterFeeding{Quantity: s.Quantity, Day: s.Day}
				a.Knowing.add(s.Q, lists[1][i].Q, s.Truth)
				a.Nought.add(lists[1][i].Q, s.Q, s.Truth)
				out = append(out, a)
			}
		}
	}
	return out, nil
}

// WriteFeeding prints the comparison as a table.
func WriteFeeding(w io.Writer, all []AfterFeeding) error {
	var b strings.Builder
	fmt.Fprintf(&b, "After a change of feeding (2, 7 and 14 days later), knowing the food and not\n\n")
	fmt.Fprintf(&b, "%-11s %5s %6s | %15s | %15s | %s\n", "quantity", "days", "n", "in 80, 90 %", "not knowing", "score knowing / not")
	for _, a := range all {
		k80, k90 := a.Knowing.Held()
		n80, n90 := a.Nought.Held()
		fmt.Fprintf(&b, "%-11s %5d %6d | %7.1f %7.1f | %7.1f %7.1f | %.3f\n", a.Quantity, a.Day, a.Knowing.N, 100*k80, 100*k90, 100*n80, 100*n90, a.Knowing.Ratio())
	}
	_, err := io.WriteString(w, b.String())
	return err
}
