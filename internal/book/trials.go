package book

import "time"

type (
	// Trial is a change of husbandry made to learn from: what is changed, when,
	// what is watched, what would count, and when it must stop.
	Trial struct {
		Name       string     `json:"name"`
		Question   string     `json:"question,omitempty"`
		Change     string     `json:"change"`            // what is changed, in words
		On         []Phase    `json:"on"`                // when the change is on, in order
		Ends       *time.Time `json:"ends,omitempty"`    // planned end of the measuring
		AlsoIn     []string   `json:"also_in,omitempty"` // other tanks with the same change
		Comparison []string   `json:"comparison,omitempty"`
		RampDays   Number     `json:"ramp_days,omitempty"`   // until the change is fully on
		SettleDays Number     `json:"settle_days,omitempty"` // after it, days that count for nothing
		Outcomes   []Outcome  `json:"outcomes"`              // the first decides
		StopWhen   []StopRule `json:"stop_when,omitempty"`
		// DrawnFrom and DrawnUntil are the days the start could have fallen on, where
		// it was drawn by lot.
		DrawnFrom  *time.Time `json:"drawn_from,omitempty"`
		DrawnUntil *time.Time `json:"drawn_until,omitempty"`
	}
	// Phase is a stretch of time in which a trial's change is on; without an end,
	// until the trial ends.
	Phase struct {
		From  *time.Time `json:"from"`
		Until *time.Time `json:"until,omitempty"`
	}
	// Outcome is one thing a trial watches.
	Outcome struct {
		What      string `json:"what"`                 // "reading", "score", "interval", "count", "peak"
		Of        string `json:"of"`                   // the quantity, sign, chore or thing counted
		Unit      string `json:"unit,omitempty"`       // of a quantity
		Hoped     string `json:"hoped"`                // "rise" or "fall"
		Matters   Number `json:"matters,omitempty"`    // smallest difference that would matter; a ratio for interval and count
		EveryDays Number `json:"every_days,omitempty"` // measuring plan
	}
)

func (p Phase) same(o Phase) bool {
	return sameTime(p.From, o.From) && sameTime(p.Until, o.Until)
}

func sameTime(a, b *time.Time) bool {
	return a == nil && b == nil || a != nil && b != nil && sameMoment(*a, *b)
}

func (p *Phase) fields(c codec) {
	c.moment("from", &p.From)
	c.moment("until", &p.Until)
}

func (o *Outcome) fields(c codec) {
	c.text("what", &o.What)
	c.text("of", &o.Of)
	c.text("unit", &o.Unit)
	c.text("hoped", &o.Hoped)
	c.number("matters", &o.Matters)
	c.number("every_days", &o.EveryDays)
}

func (*Trial) kind() Kind { return KindTrial }
func (b *Trial) fields(c codec) {
	c.text("name", &b.Name)
	c.text("question", &b.Question)
	c.text("change", &b.Change)
	c.phases("on", &b.On)
	c.moment("ends", &b.Ends)
	c.texts("also_in", &b.AlsoIn)
	c.texts("comparison", &b.Comparison)
	c.number("ramp_days", &b.RampDays)
	c.number("settle_days", &b.SettleDays)
	c.outcomes("outcomes", &b.Outcomes)
	c.stopRules("stop_when", &b.StopWhen)
	c.moment("drawn_from", &b.DrawnFrom)
	c.moment("drawn_until", &b.DrawnUntil)
}
