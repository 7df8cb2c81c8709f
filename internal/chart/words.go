package chart

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// figure is a value with its unit.
func (p Picture) figure(v float64) string { return withUnit(number(v, p.Decimals), p.Unit) }

func withUnit(figure, unit string) string {
	if unit == "" {
		return figure
	}
	return figure + " " + unit
}

// doubted is a value with its doubt and unit.
func (p Picture) doubted(d Doubted) string { return withUnit(plusMinus(d, p.Decimals), p.Unit) }

// plusMinus writes a value with one standard deviation as package units does
// everywhere: the doubt decides the decimals, one figure of it, two when it
// begins with a 1.
func plusMinus(d Doubted, decimals int) string {
	if !(d.SD > 0) {
		return number(d.Mean, decimals)
	}
	shown := min(doubtDecimals(d.SD), decimals+2)
	return number(d.Mean, shown) + " ± " + doubt(d.SD, decimals)
}

func doubt(sd float64, decimals int) string {
	if !(sd > 0) {
		return number(0, decimals)
	}
	shown := min(doubtDecimals(sd), decimals+2)
	return number(math.Max(sd, math.Pow10(-shown)), shown)
}

func doubtDecimals(sd float64) int {
	magnitude := math.Floor(math.Log10(sd))
	d := -int(magnitude)
	if sd/math.Pow(10, magnitude) < 1.95 {
		d++
	}
	return max(d, 0)
}

// date names a day, with its year where that is not today's.
func (p Picture) date(t time.Time) string {
	t = t.In(p.Zone)
	if t.Year() == p.Today.In(p.Zone).Year() {
		return t.Format("2 Jan")
	}
	return t.Format("2 Jan 2006")
}

// bandName is what the picture calls the stretch that is washed.
func (p Picture) bandName() string {
	if p.Derived {
		return "limits"
	}
	return "band"
}

func (p Picture) aimName() string {
	if p.AimName != "" {
		return p.AimName
	}
	return "aim"
}

// bandWords says the band: "7.5 to 9 dKH", "up to 10 mg/L", or nothing.
func (p Picture) bandWords() string {
	low, high := p.Band.Low, p.Band.High
	switch {
	case !math.IsNaN(low) && !math.IsNaN(high):
		return number(low, p.Decimals) + " to " + p.figure(high)
	case !math.IsNaN(high):
		return "up to " + p.figure(high)
	case !math.IsNaN(low):
		return "from " + p.figure(low)
	}
	return ""
}

// title names the drawing.
func (p Picture) title() string {
	name := p.Name
	if name == "" {
		name = "Level"
	}
	return strings.ToUpper(name[:1]) + name[1:]
}

// glance is the picture of a row in one sentence.
func (p Picture) glance() string {
	s := p.title()
	if finite(p.Now.Mean, p.Now.SD) && len(p.Levels) > 0 {
		s += " " + p.doubted(p.Now)
	}
	if p.State != "" {
		s += ", " + p.State
	}
	if b := p.bandWords(); b != "" {
		s += "; " + p.bandName() + " " + b
	}
	if !p.Leaves.IsZero() {
		s += "; even chance of leaving it by " + p.date(p.Leaves)
	}
	return s + "."
}

// describe tells what the large picture shows.
func (p Picture) describe() string {
	parts := []string{p.readingWords()}
	if len(p.Levels) > 0 && finite(p.Now.Mean, p.Now.SD) {
		s := "The level now is " + p.doubted(p.Now)
		if p.State != "" {
			s += ", " + p.State
		}
		parts = append(parts, s+".")
	}
	if b := p.bandWords(); b != "" {
		be := " is "
		if p.Derived {
			be = " are "
		}
		parts = append(parts, "The "+p.bandName()+be+b+".")
	}
	if n := len(p.Fan); n > 0 {
		d := p.Fan[n-1]
		parts = append(parts, fmt.Sprintf("For %s the middle of the forecast is %s, with nine chances in ten between %s and %s.",
			p.date(d.At), p.figure(d.P50), number(d.P05, p.Decimals), number(d.P95, p.Decimals)))
	}
	if !p.Leaves.IsZero() {
		parts = append(parts, "The chance of having left the band passes one half by "+p.date(p.Leaves)+".")
	}
	if n := len(p.Deeds); n > 0 {
		parts = append(parts, plural(n, "deed is", "deeds are")+" marked on the lower edge.")
	}
	return strings.Join(parts, " ")
}

func (p Picture) readingWords() string {
	span := p.date(p.From) + " to " + p.date(p.To)
	if len(p.Readings) == 0 {
		if p.Derived {
			return "Nothing can be worked out from " + span + "."
		}
		return "No readings from " + span + "."
	}
	misreads := 0
	for _, r := range p.Readings {
		if r.Misread {
			misreads++
		}
	}
	s := plural(len(p.Readings), "reading", "readings") + " from " + span
	if p.Derived {
		return plural(len(p.Readings), "figure", "figures") + " worked out from readings, " + span + "."
	}
	if misreads > 0 {
		s += ", " + plural(misreads, "of them a likely misread", "of them likely misreads")
	}
	return s + "."
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return number(float64(n), 0) + " " + many
}
