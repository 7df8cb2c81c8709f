package standing

import "driftline/internal/drift"

// Fare is what a tank is fed from now on, as one quantity would see it if all of it
// ended in the water: default units a day.
type Fare struct {
	Known    bool    // whether the book tells of enough food for the engine to learn from
	Usual    float64 // what the engine took for usual
	ByHand   float64 // a day, as of late
	Machines []Feeder
}

// Feeder is a machine that feeds, from and to in days from now.
type Feeder struct {
	Routine        string
	From, To, Rate float64
}

// Fare is what the tank is fed, by this quantity.
func (o *Outset) Fare() Fare {
	m, now := o.matter, dayOf(o.matter.asOf)
	f := Fare{Known: len(m.kase.Food) > 0, ByHand: m.handFood}
	if !f.Known {
		return f
	}
	for _, d := range m.feeders {
		if d.To > now {
			f.Machines = append(f.Machines, Feeder{m.sources[d.Source].detail, d.From - now, d.To - now, d.Rate * 1000 / m.litres})
		}
	}
	return f
}

// Litres is the tank's net volume.
func (o *Outset) Litres() float64 { return o.matter.litres }

// Going is what goes on by the declared routines, on average over the coming twelve
// weeks; all figures a day, in the default unit.
type Going struct {
	Food  float64 // if all of it ended in the water
	Given float64 // by doses
	Share float64 // of the water changed
	New   float64 // what the new water holds, on average
}

// goingDays is how far routines are averaged: a multiple of the usual intervals.
const goingDays = 84.0

// Going averages the declared routines.
func (o *Outset) Going() Going {
	now := dayOf(o.matter.asOf)
	p := o.matter.plan(now, goingDays, false)
	var g Going
	for _, in := range p.Inputs {
		g.Given += in.Delta / goingDays
	}
	for _, f := range p.Feeds {
		g.Given += f.Rate * (f.To - f.From) / goingDays
	}
	for _, c := range p.Changes {
		g.Share += c.Fraction / goingDays
		g.New += c.Fraction * c.Value / goingDays
	}
	if g.Share > 0 {
		g.New /= g.Share
	}
	g.Food = meanRate(p.Food)
	return g
}

func meanRate(food []drift.Feed) float64 {
	sum, days := 0.0, 0.0
	for _, f := range food {
		sum += f.Rate * (f.To - f.From)
		days += f.To - f.From
	}
	if days == 0 {
		return 0
	}
	return sum / days
}
