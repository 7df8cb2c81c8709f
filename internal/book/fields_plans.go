package book

func (c *Contained) fields(w codec) {
	w.text("quantity", &c.Quantity)
	w.number("value", &c.Value)
	w.text("unit", &c.Unit)
}

func (s *Step) fields(c codec) {
	c.moment("at", &s.At)
	c.text("substance", &s.Substance)
	c.number("amount", &s.Amount)
	c.text("unit", &s.Unit)
	c.number("expected", &s.Expected)
	c.number("sd", &s.SD)
}

// same compares what two steps say; times with another offset differ.
func (s Step) same(o Step) bool {
	at := s.At == nil && o.At == nil || s.At != nil && o.At != nil && sameMoment(*s.At, *o.At)
	s.At, o.At = nil, nil
	return at && s == o
}

func (*Correction) kind() Kind { return KindCorrection }
func (b *Correction) fields(c codec) {
	c.text("quantity", &b.Quantity)
	c.number("from", &b.From)
	c.number("sd", &b.SD)
	c.number("aim", &b.Aim)
	c.text("unit", &b.Unit)
	c.text("substance", &b.Substance)
	c.number("most_a_day", &b.MostADay)
	c.steps("steps", &b.Steps)
}

func (*Course) kind() Kind { return KindCourse }
func (b *Course) fields(c codec) {
	c.text("name", &b.Name)
	c.text("action", &b.Action)
	c.text("substance", &b.Substance)
	c.number("amount", &b.Amount)
	c.text("unit", &b.Unit)
	c.number("most", &b.Most)
	c.text("chore", &b.Chore)
	c.number("every_hours", &b.EveryHours)
	c.moment("from", &b.From)
	c.number("days", &b.Days)
	c.texts("signs", &b.Signs)
	c.texts("watch", &b.Watch)
	c.text("stop", &b.Stop)
	c.stopRules("stop_when", &b.StopWhen)
	c.number("half_days", &b.HalfDays)
}

func (r *StopRule) fields(c codec) {
	c.text("sign", &r.Sign)
	c.text("quantity", &r.Quantity)
	c.text("is", &r.Is)
	c.number("value", &r.Value)
	c.text("unit", &r.Unit)
	c.number("times", &r.Times)
}

func (*PlanResume) kind() Kind { return KindPlanResume }
func (b *PlanResume) fields(c codec) {
	c.text("plan", &b.Plan)
	c.text("why", &b.Why)
}

func (*PlanEnd) kind() Kind { return KindPlanEnd }
func (b *PlanEnd) fields(c codec) {
	c.text("plan", &b.Plan)
	c.text("why", &b.Why)
}

func (*Stock) kind() Kind { return KindStock }
func (b *Stock) fields(c codec) {
	c.text("substance", &b.Substance)
	c.number("amount", &b.Amount)
	c.text("unit", &b.Unit)
	c.flag("added", &b.Added)
	c.number("price", &b.Price)
	c.text("currency", &b.Currency)
	c.moment("expires", &b.Expires)
}
