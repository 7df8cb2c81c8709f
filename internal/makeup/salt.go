package makeup

import (
	"fmt"
	"math"

	"driftline/internal/substance"
	"driftline/seawater"
	"driftline/units"
)

// Bin says whether the salt is in the water already.
type Bin string

// The states of the bin.
const (
	// Mixed: what the water has was measured in it, so its salt is in. What is
	// added is what lacks, and salinity ends higher by it.
	Mixed Bin = "mixed"
	// Empty: the salt is still to be weighed, and less of it is taken, so that
	// salt and supplements together make the salinity asked for.
	Empty Bin = "empty"
)

// bin is as asked; without a word, water with measured figures is mixed.
func (a Ask) bin() Bin {
	switch {
	case a.Bin != "":
		return a.Bin
	case len(a.Have) > 0:
		return Mixed
	}
	return Empty
}

// leastSalt is the share of the salt below which the rest is no sea salt any more.
const leastSalt = 0.5

// balance finds the supplements, and with an empty bin the salt that leaves room
// for them: less salt gives less of everything, which takes more supplements, so
// both are found by turns. Each turn shrinks the error about tenfold.
func (r *recipe) balance() error {
	for range 30 {
		if err := r.choose(); err != nil {
			return err
		}
		if err := r.solve(); err != nil {
			return err
		}
		if r.ask.bin() == Mixed {
			return nil
		}
		share := 1 - r.rise()/r.ask.Salinity
		if share < leastSalt {
			return fmt.Errorf("the supplements would make more than half of the salinity; expected aims nearer to what the salt gives")
		}
		done := math.Abs(share-r.share) < 1e-6
		r.share = share
		if done {
			return nil
		}
	}
	return nil
}

// rise is what the supplements add to the salinity.
func (r *recipe) rise() float64 {
	sum := 0.0
	for _, c := range r.chosen {
		sum += c.s.SalinityRise(c.amount, r.water())
	}
	return sum
}

// salinity is that of the finished water.
func (r *recipe) salinity() float64 { return r.ask.Salinity*r.share + r.rise() }

// salt is how much sea salt to weigh, and how the salinity asked for is met.
func (r *recipe) salt() {
	per, says := r.ask.SaltGramsPerL, "by its label"
	if per <= 0 {
		per, says = saltPerLitre, "as sea salts usually take (37 g/L for 35, common practice); the label says it better"
	}
	b, full := &r.batch, per*r.ask.Litres*r.ask.Salinity/35
	b.Litres, b.Salinity, b.TempC, b.Bin = r.ask.Litres, r.ask.Salinity, r.ask.TempC, r.ask.bin()
	b.Salt, b.SaltGrams = r.saltName(), substance.Round(full*r.share)
	b.SalinityAfter = r.salinity()
	b.SaltWhy = says
	b.SaltSays = fmt.Sprintf("%s of %s, %s.", weight(b.SaltGrams, "g"), r.saltName(), says)
	rise := r.rise()
	switch {
	case rise < 0.005:
	case b.Bin == Empty:
		b.SaltLeftOut = substance.Round(full - b.SaltGrams)
		b.SalinitySays = fmt.Sprintf("The supplements bring %.2f of the %s, so %s less salt is taken than without them.", rise,
			units.Format(units.Salinity, r.ask.Salinity, "PSU"), weight(b.SaltLeftOut, "g"))
	default:
		b.ExchangeLitres = r.ask.Litres * (1 - r.ask.Salinity/b.SalinityAfter)
		b.SalinitySays = fmt.Sprintf("The salt is in already, so the supplements lift the salinity by %.2f to %s. To bring it back, %s of the finished water would have to give way to purified water, "+
			"which takes %.1f %% off everything; for a batch whose salt is still to be weighed, say so, and less of it is taken.",
			rise, units.Format(units.Salinity, b.SalinityAfter, "PSU"), units.FormatAmount(math.Round(b.ExchangeLitres*10)/10)+" L", 100*b.ExchangeLitres/r.ask.Litres)
	}
}

// name finds the substances that were named. One that raises nothing of what is
// wanted was named by mistake.
func (r *recipe) name() error {
	for _, name := range r.ask.With {
		s, err := r.find(name)
		if err != nil {
			return err
		}
		serves := len(r.ask.Want) == 0
		for _, f := range r.ask.Want {
			serves = serves || s.PerUnit(f.Quantity) > 0
		}
		if !serves {
			return fmt.Errorf("%s raises nothing of what is wanted; expected a substance that does", s.Name)
		}
		r.named = append(r.named, s)
	}
	return nil
}

// check is what the instruments should show before the water is used.
func (r *recipe) check(add func(do, wait, why string)) {
	sp := r.salinity()
	sg, err := seawater.SpecificGravity(sp, seawater.Pair25)
	r.batch.Check = fmt.Sprintf("%s and %s", units.Format(units.Salinity, sp, "PSU"), units.Format(units.Temperature, r.ask.TempC, "°C"))
	if err == nil {
		r.batch.Check = fmt.Sprintf("%s (specific gravity %.4f at 25/25 °C) and %s", units.Format(units.Salinity, sp, "PSU"), sg, units.Format(units.Temperature, r.ask.TempC, "°C"))
	}
	add("Let it turn over with air.", "12 to 24 hours", "New water needs time to come to rest with the air; its pH settles.")
	add("Check before use: "+r.batch.Check+"; test what was supplemented.", "", "What goes into the tank is what was measured, not what was weighed.")
}
