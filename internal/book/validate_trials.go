package book

// What a trial may hold at most.
const (
	trialPhases   = 50
	trialOutcomes = 12
	trialTanks    = 20
)

// trial lets a line that says nothing of what a trial is here pass as it came:
// other programs may mean something else by the word.
func (v *validator) trial(b *Trial) {
	if b.Change == "" && len(b.On) == 0 && len(b.Outcomes) == 0 {
		return
	}
	v.named("name", b.Name)
	v.prose("question", b.Question)
	v.required("change", b.Change)
	v.prose("change", b.Change)
	v.phases(b.On)
	if b.Ends != nil && len(b.On) > 0 && b.On[0].From != nil && !b.Ends.After(*b.On[0].From) {
		v.fail("ends", "ends is not after the change comes; expected a later moment")
	}
	for _, list := range [][]string{b.AlsoIn, b.Comparison} {
		if len(list) > trialTanks {
			v.fail("comparison", "%d tanks are too many; expected at most %d", len(list), trialTanks)
		}
	}
	for _, name := range b.AlsoIn {
		v.named("also_in", name)
	}
	for _, name := range b.Comparison {
		v.named("comparison", name)
	}
	v.between("ramp_days", b.RampDays, 0, planDays, "days, up to 366")
	v.between("settle_days", b.SettleDays, 0, planDays, "days, up to 366")
	if len(b.Outcomes) == 0 || len(b.Outcomes) > trialOutcomes {
		v.fail("outcomes", "outcomes are %d; expected 1 to %d things to watch", len(b.Outcomes), trialOutcomes)
	}
	for _, o := range b.Outcomes {
		v.outcome(o)
	}
	v.stopRules("stop_when", b.StopWhen)
	if (b.DrawnFrom == nil) != (b.DrawnUntil == nil) {
		v.fail("drawn_from", "drawn_from and drawn_until belong together; expected both or neither")
	}
}

func (v *validator) phases(on []Phase) {
	if len(on) == 0 || len(on) > trialPhases {
		v.fail("on", "on has %d stretches of time; expected 1 to %d, in order", len(on), trialPhases)
	}
	for i, p := range on {
		switch {
		case p.From == nil:
			v.fail("on", "on: from of stretch %d is missing; expected when the change comes", i+1)
		case p.Until != nil && !p.Until.After(*p.From):
			v.fail("on", "on: stretch %d ends before it begins; expected a later end", i+1)
		case i > 0 && (on[i-1].Until == nil || on[i-1].From == nil || p.From.Before(*on[i-1].Until)):
			v.fail("on", "on: stretch %d begins before the one before has ended; expected them in order, each with its end", i+1)
		}
	}
}

func (v *validator) outcome(o Outcome) {
	v.required("outcomes", o.What)
	v.oneOf("outcomes", o.What, "reading", "score", "interval", "count", "peak")
	v.named("outcomes", o.Of)
	v.required("outcomes", o.Hoped)
	v.oneOf("outcomes", o.Hoped, "rise", "fall")
	v.positive("outcomes", o.Matters)
	v.positive("outcomes", o.EveryDays)
	switch Key(o.What) {
	case "reading", "peak":
		v.quantity(o.Of, o.Unit, true)
	case "interval", "count":
		if x, ok := o.Matters.Float(); ok && x <= 1 {
			v.fail("outcomes", "outcomes: matters %s of %s is not a ratio above 1; expected such as 1.2, a fifth more or less", o.Matters, o.Of)
		}
	}
}
