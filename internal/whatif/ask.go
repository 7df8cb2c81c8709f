package whatif

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/book"
	"driftline/units"
)

// How much may be asked for.
const (
	mostPlans  = 4
	longest    = 365
	usualDraws = 2000
	fewest     = 100
	mostDraws  = 20000
)

// ready fills in what was left out and refuses what cannot be worked out.
func (a Ask) ready() (Ask, error) {
	if a.Draws == 0 {
		a.Draws = usualDraws
	}
	switch {
	case a.Days < 1 || a.Days > longest:
		return a, fmt.Errorf("%d days cannot be looked ahead; expected 1 to %d", a.Days, longest)
	case a.Draws < fewest || a.Draws > mostDraws:
		return a, fmt.Errorf("%d draws are too few or too many; expected %d to %d", a.Draws, fewest, mostDraws)
	case len(a.Plans) == 0 || len(a.Plans) > mostPlans:
		return a, fmt.Errorf("%d plans cannot be compared; expected 1 to %d", len(a.Plans), mostPlans)
	}
	names := map[string]bool{}
	a.Plans = append([]Plan(nil), a.Plans...)
	for i := range a.Plans {
		p := &a.Plans[i]
		if p.Name == "" {
			p.Name = fmt.Sprintf("plan %d", i+1)
		}
		if names[p.Name] {
			return a, fmt.Errorf("two plans are called %q; expected a name for each", p.Name)
		}
		names[p.Name] = true
		for _, c := range p.Changes {
			if err := c.check(); err != nil {
				return a, fmt.Errorf("plan %q: %w", p.Name, err)
			}
		}
	}
	return a, nil
}

func (c Change) check() error {
	for _, v := range []float64{c.Amount, c.Litres, c.Share, c.EveryDays, c.Factor} {
		if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 {
			return fmt.Errorf("%s: %g is not an amount; expected figures that are not negative", c.What, v)
		}
	}
	if !c.From.IsZero() && !c.Until.IsZero() && !c.Until.After(c.From) {
		return fmt.Errorf("%s: it ends on %s, before it begins", c.What, c.Until.Format(time.DateOnly))
	}
	if c.EveryDays > 0 && c.EveryDays < 1.0/24 {
		return fmt.Errorf("%s: every %g days is too often; expected once an hour at most", c.What, c.EveryDays)
	}
	switch c.What {
	case Stop, StopsDosing, StopWaterChanges:
		return nil
	case TopOff:
		return nil
	case Demand:
		_, err := units.ParseQuantity(c.Quantity)
		return err
	case OneDose:
		return c.checkDose()
	case WaterChange:
		return c.checkWater()
	case Food, MoreFood:
		return c.checkFood()
	case Harvest:
		if g, _, ok := measured(c.Amount, c.Unit); !ok || !(g > 0) {
			return fmt.Errorf("a harvest of %g %q cannot be weighed; expected such as 100 g", c.Amount, c.Unit)
		}
		return nil
	case OneMoreRoutine:
		if c.EveryDays == 0 {
			return fmt.Errorf("a routine needs the days from one turn to the next")
		}
		if c.Substance != "" {
			return c.checkDose()
		}
		return c.checkWater()
	}
	return fmt.Errorf("%q is not a change; expected %s, %s, %s, %s, %s, %s, %s, %s, %s, %s or %s", c.What,
		Stop, StopsDosing, StopWaterChanges, OneMoreRoutine, OneDose, WaterChange, TopOff, Demand, Food, MoreFood, Harvest)
}

func (c Change) checkDose() error {
	if c.Substance == "" || c.Amount == 0 {
		return fmt.Errorf("a dose needs a substance and an amount")
	}
	if _, _, ok := measured(c.Amount, c.Unit); !ok {
		return fmt.Errorf("a dose of %g %q cannot be weighed or measured; expected such as g or mL", c.Amount, c.Unit)
	}
	return nil
}

func (c Change) checkWater() error {
	if (c.Share > 0) == (c.Litres > 0) || c.Share > 1 {
		return fmt.Errorf("a water change needs either its litres or its share of the water, at most 1")
	}
	return nil
}

// measured is an amount as grams or as millilitres.
func measured(v float64, unit string) (grams, mL float64, ok bool) {
	if g, err := units.Grams(v, unit); err == nil {
		return g, 0, true
	}
	if l, err := units.Litres(v, unit); err == nil {
		return 0, l * 1000, true
	}
	return 0, 0, false
}

func measuredNumber(n book.Number, unit string) (grams, mL float64, ok bool) {
	v, ok := n.Float()
	if !ok || v < 0 {
		return 0, 0, false
	}
	return measured(v, unit)
}
