package standing

import (
	"fmt"
	"math"
	"time"
)

// ChanceWords write a chance in words and a figure: "likely (about 80 %)".
func ChanceWords(p float64) string {
	if math.IsNaN(p) {
		return "not known"
	}
	return chanceWord(p) + " (" + ChanceFigure(p) + ")"
}

func chanceWord(p float64) string {
	switch {
	case p >= 0.9:
		return "very likely"
	case p > 0.6:
		return "likely"
	case p >= 0.4:
		return "as likely as not"
	case p >= 0.2:
		return "less likely than not"
	case p >= 0.05:
		return "unlikely"
	}
	return "very unlikely"
}

// ChanceFigure writes a chance to the five per cent a forecast deserves, finer
// towards both ends.
func ChanceFigure(p float64) string {
	switch {
	case math.IsNaN(p):
		return "not known"
	case p > 0.99:
		return "over 99 %"
	case p < 0.01:
		return "under 1 %"
	case p < 0.1 || p > 0.9:
		return fmt.Sprintf("about %.0f %%", p*100)
	}
	return fmt.Sprintf("about %.0f %%", math.Round(p*20)*5)
}

// Words tell when it leaves its band as the chance it is, never as a date for
// certain: the likeliest course may well stay inside.
func (l Leaving) Words(date func(time.Time) string) string {
	switch {
	case l.PNow >= outsideNow:
		return ChanceWords(l.PNow) + " " + l.beyond() + " its band now"
	case l.EvenChanceBy != nil:
		return fmt.Sprintf("even chance to %s its band by %s, %s within 14 days", l.verb(), date(*l.EvenChanceBy), besideEven(l.P14))
	case l.P14 >= nearSoon:
		return fmt.Sprintf("%s to %s its band within 14 days", ChanceWords(l.P14), l.verb())
	case l.P30 >= 0.1:
		return fmt.Sprintf("%s to %s its band within 30 days", ChanceWords(l.P30), l.verb())
	}
	return ChanceWords(1-l.P30) + " to stay in its band for 30 days"
}

// besideEven leaves out the word that would only say "even" again.
func besideEven(p float64) string {
	if word := chanceWord(p); word != "as likely as not" {
		return ChanceWords(p)
	}
	return ChanceFigure(p)
}

func (l Leaving) verb() string {
	switch {
	case l.Either:
		return "leave"
	case l.Side == "low":
		return "fall below"
	case l.Side == "high":
		return "rise above"
	}
	return "leave"
}

func (l Leaving) beyond() string {
	switch l.Side {
	case "low":
		return "below"
	case "high":
		return "above"
	}
	return "outside"
}
