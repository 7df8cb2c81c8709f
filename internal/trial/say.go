package trial

import (
	"fmt"
	"math"
	"strings"

	"driftline/internal/book"
	"driftline/internal/effect"
	"driftline/internal/prose"
	"driftline/internal/standing"
	"driftline/units"
)

// plain writes a difference to two figures.
func plain(v float64) string {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return "0"
	}
	return units.Number(v, min(max(1-int(math.Floor(math.Log10(math.Abs(v)))), 0), 6))
}

// difference words a difference of an outcome in the hoped direction: "a fall of
// 0.5 points", "a rise to 1.3 times".
func difference(o book.Outcome, v string) string {
	switch {
	case kindOf(o).Ratio() && book.Key(o.Hoped) == "fall":
		return "a fall to 1/" + v
	case kindOf(o).Ratio():
		return "a rise to " + v + " times"
	}
	return strings.TrimSpace(fmt.Sprintf("a %s of %s %s", book.Key(o.Hoped), v, unitOf(o)))
}

// Shows says what the plan would show.
func (c Chance) Shows() string {
	if c.Missing != "" {
		return "Nothing can be said: " + c.Missing + "."
	}
	o := c.Outcome
	least := fmt.Sprintf("four of five such trials would show %s", difference(o, plain(c.Least)))
	if c.Power < 0 {
		return "With " + told(c.Looks) + ", " + least + ". What would matter was not said."
	}
	return fmt.Sprintf("With %s, %s would show in %.0f of 100 such trials; %s.", told(c.Looks), difference(o, string(o.Matters)), 100*c.Power, least)
}

func told(n int) string { return fmt.Sprintf("%d looks in all", n) }

// Needs says how long the change would have to be on.
func (c Chance) Needs() string {
	switch {
	case c.Missing != "" || c.Power < 0:
		return ""
	case math.IsInf(c.WeeksNeeded, 1):
		return "At this pace not even half a year with the change on would show it in four trials of five."
	}
	return fmt.Sprintf("To show it in four trials of five the change would have to be on %.0f weeks, %s.", c.WeeksNeeded, told(c.LooksNeeded))
}

// Scatter says what the noise is and where it was taken from.
func (c Chance) Scatter() string {
	if c.Missing != "" {
		return ""
	}
	sd := plain(c.Noise.SD) + " " + c.Unit
	if kindOf(c.Outcome).Ratio() {
		sd = units.Number(100*math.Expm1(c.Noise.SD), 0) + " %"
	}
	return fmt.Sprintf("Its figures scatter by %s; those a week apart are alike by a correlation of %.2f. From %s.", sd, math.Pow(c.Noise.Phi, 7), c.NoiseFrom)
}

// Says tells what another plan would show.
func (v Variant) Says() string {
	return fmt.Sprintf("%s: %s. It would show in %.0f of 100 trials.", strings.ToUpper(v.Name[:1])+v.Name[1:], v.How, 100*v.Power)
}

// Says tells an effect with its interval: "−1.8 points, 95 % interval −3.4 to −0.7".
func (f Finding) Says() string {
	if f.Missing != "" {
		return "Nothing can be worked out: " + f.Missing + "."
	}
	return f.Effect() + ", 95 % interval " + f.figure(f.Result.Low) + " to " + f.figure(f.Result.High)
}

// Effect is the effect with its unit.
func (f Finding) Effect() string {
	if f.Missing != "" {
		return ""
	}
	return strings.TrimSpace(f.figure(f.Result.Effect) + " " + f.Unit)
}

func (f Finding) figure(v float64) string {
	if kindOf(f.Outcome).Ratio() {
		return units.Number(v, min(effect.Decimals(f.Result), 2))
	}
	text := effect.Figure(v, f.Result)
	if v > 0 && strings.Trim(text, "0.") != "" {
		return "+" + text
	}
	return text
}

// Peeked is the interval that may be looked at while the trial runs.
func (f Finding) Peeked() string {
	if f.Missing != "" {
		return ""
	}
	return f.figure(f.PeekLow) + " to " + f.figure(f.PeekHigh) + " " + f.Unit
}

// Chance says how likely it went the hoped way by what matters.
func (f Finding) Chance() string {
	if f.Missing != "" {
		return ""
	}
	by := ""
	if f.Outcome.Matters != "" {
		by = " by as much as matters"
	}
	return fmt.Sprintf("That it went the hoped way%s is %s.", by, standing.ChanceWords(f.Result.PDirection))
}

// Longer says how much longer it would take where nothing can be told yet.
func (f Finding) Longer() string {
	if f.Missing != "" || f.Result.MoreDays <= 0 {
		return ""
	}
	return effect.Longer(f.Result.MoreDays)
}

// Beside lists what else changes, with what it does to the answer.
func (p Prospect) Beside() []string {
	var out []string
	for _, c := range p.Clashes {
		out = append(out, c.told(p.Trial))
	}
	return out
}

// told is a clash in a sentence.
func (c Clash) told(t Trial) string {
	where := ""
	if c.Tank != t.Tank {
		where = " in " + c.Tank
	}
	text := fmt.Sprintf("%s%s on %s: %s.", prose.Capital(c.What), where, c.At.In(t.Start.Location()).Format("2 January 2006"), c.Says())
	if !c.Separate.IsZero() && t.State == Planned {
		text += fmt.Sprintf(" A start on %s or later would tell them apart.", c.Separate.In(t.Start.Location()).Format("2 January 2006"))
	}
	return text
}

// ToLook lists what is to be looked at, and when.
func (r Report) ToLook() []string {
	var out []string
	for _, m := range r.Measuring {
		text := prose.Capital(m.Where(r.Trial))
		if m.Next.After(r.AsOf) {
			text += m.Next.In(r.Trial.Start.Location()).Format(", next on Monday 2 January")
		} else {
			text += ", due now"
		}
		if m.Missed > 0 {
			text += fmt.Sprintf(" (%d of %d looks missed)", m.Missed, m.Planned)
		}
		out = append(out, text+".")
	}
	return out
}
