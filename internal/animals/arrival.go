package animals

import (
	"fmt"
	"math"

	"driftline/seawater"
)

// Bag is what animals arrive in.
type Bag struct {
	Litres, PSU, TempC float64
	Hours              float64 // on the way
	PH                 float64 // total scale; 0 when nobody measured it
	Group              string
}

// Match is how the water of a bag is brought to that of a tank.
type Match struct {
	FloatMinutes  float64 // until the temperatures are within two degrees
	Litres        float64 // of tank water to drip into the bag
	LitresPerHour float64
	DropsPerSec   float64 // of 20 to the mL
	Hours         float64
	EndPSU        float64 // of the bag then
	Quickly       bool    // shipped long: moved over within minutes instead
	AmmoniaTimes  float64 // how many times as much un-ionised ammonia opening the bag makes; 0 when not known
	Says          []string
}

// Common practice, no source, unless said: steepest change of salinity an hour,
// how near is near enough, drops to the millilitre, the journey that makes ammonia the
// greater danger, the share of a difference of temperature that floating takes away in
// half an hour.
const (
	fishPSUPerHour  = 2.0
	otherPSUPerHour = 1 / 0.42 // 1 PSU in 20 to 30 minutes
	nearPSU         = 0.5
	dropsPerML      = 20.0
	longJourney     = 12.0
	mostFishRise    = 2.0 // PSU a day for fish that come from low salinity
)

// MatchWaters works out the drip from both waters. It fails when a figure is out of
// reach of the seawater formulas.
func MatchWaters(b Bag, tankPSU, tankC float64) (Match, error) {
	if !(b.Litres > 0) {
		return Match{}, fmt.Errorf("the bag holds %g L; expected more than 0", b.Litres)
	}
	bag, err := seawater.Density(b.PSU, b.TempC)
	if err != nil {
		return Match{}, fmt.Errorf("the water of the bag: %w", err)
	}
	tank, err := seawater.Density(tankPSU, tankC)
	if err != nil {
		return Match{}, fmt.Errorf("the water of the tank: %w", err)
	}
	m := Match{EndPSU: b.PSU}
	if d := math.Abs(tankC - b.TempC); d > 2 {
		m.FloatMinutes = 30 * math.Ceil((d-2)/3) // about half an hour for four to five degrees
		m.Says = append(m.Says, fmt.Sprintf("Float the closed bag for about %.0f minutes, until the waters are within 2 °C.", m.FloatMinutes))
	}
	m.ammonia(b, tankPSU, tankC)
	gap := tankPSU - b.PSU
	if b.Hours >= longJourney && b.Group == "fish" {
		m.Quickly = true
		m.Says = append(m.Says, "Shipped long: bring the quarantine water to the bag's salinity and temperature beforehand, open the bag and move the fish over within 15 to 20 minutes, without the water. Air lets the carbon dioxide out of the bag, its pH rises, and ammonia with it turns un-ionised.")
		if gap > mostFishRise {
			m.Says = append(m.Says, fmt.Sprintf("Then raise the salinity by 1 to 2 PSU a day: %.0f days for %.1f PSU.", math.Ceil(gap/mostFishRise), gap))
		}
		return m, nil
	}
	switch {
	case b.Group == "fish" && gap > mostFishRise:
		m.Says = append(m.Says, fmt.Sprintf("This is %.1f PSU more than the bag, and fish stand a rise of 1 to 2 PSU a day (common practice), so no drip: bring the quarantine water to %.1f PSU first, move them over, then raise it over %.0f days.", gap, b.PSU, math.Ceil(gap/mostFishRise)))
	case math.Abs(gap) > nearPSU:
		m.drip(b, gap, tankPSU, bag, tank)
	}
	m.Says = append(m.Says, "None of the bag's water goes into the tank.")
	return m, nil
}

// drip solves the mixing for the volume that brings the bag near, salt and mass kept:
// S = (Vb·ρb·Sb + Vt·ρt·St)/(Vb·ρb + Vt·ρt). The steepest change is at the start.
func (m *Match) drip(b Bag, gap, tankPSU, bag, tank float64) {
	rate := fishPSUPerHour
	if b.Group != "fish" {
		rate = otherPSUPerHour
	}
	share := 1 - nearPSU/math.Abs(gap) // of the gap to be closed
	ratio := share / (1 - share)       // tank water over bag water, by mass
	m.Litres = ratio * b.Litres * bag / tank
	m.EndPSU = b.PSU + share*gap
	m.LitresPerHour = rate * b.Litres * bag / tank / math.Abs(gap)
	m.Hours = m.Litres / m.LitresPerHour
	m.DropsPerSec = m.LitresPerHour * 1000 * dropsPerML / 3600
	m.Says = append(m.Says, fmt.Sprintf("Drip %.1f L of tank water into the %.1f L of the bag at %.2f L an hour (%.1f drops a second): %.1f hours, ending at %.1f PSU of the tank's %.1f. Pour off when the bag is full, and shade it.",
		m.Litres, b.Litres, m.LitresPerHour, m.DropsPerSec, m.Hours, m.EndPSU, tankPSU))
}

// ammonia compares the un-ionised share in the closed bag with that at the tank's
// usual pH of 8.1 (total scale).
func (m *Match) ammonia(b Bag, tankPSU, tankC float64) {
	const open = 8.1
	if !(b.PH > 0) || b.PH >= open {
		return
	}
	shut, err := seawater.AmmoniaFractionTotal(b.PSU, b.TempC, b.PH)
	air, bad := seawater.AmmoniaFractionTotal(tankPSU, tankC, open)
	if err != nil || bad != nil || !(shut > 0) {
		return
	}
	m.AmmoniaTimes = air / shut
	m.Says = append(m.Says, fmt.Sprintf("At pH %.1f in the bag and %.1f in air the un-ionised share of its ammonia becomes %.0f times as large.", b.PH, open, m.AmmoniaTimes))
}
