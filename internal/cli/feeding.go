package cli

import (
	"fmt"
	"strings"
	"time"

	"driftline/internal/book"
	"driftline/internal/feeding"
	"driftline/internal/standing"
	"driftline/units"
)

type feedingCmd struct {
	bookFlag
	Tank string `placeholder:"NAME" help:"The tank. It may be left out when the book has one."`
	AsOf string `placeholder:"MOMENT" help:"As it stood then; later lines are ignored. Without it, now."`
	JSON bool   `help:"Print the result as JSON."`
}

func (c *feedingCmd) Help() string {
	return `What a tank was fed today and by whom, whether its fish get what they need, how the waste of the meals comes over the day, where
nitrate and phosphate settle as fed now, and what feed or harvest would settle them at their aims. What other feeding would do is
asked of whatif: "feed 1.5 times", "also feed 1 g nori", "5 more fish of 4 g", "harvest 100 g every 7".

Example:

    driftline feeding --book bench --tank "Harbour tank"`
}

// feedingJSON is the public shape of a tank's feeding.
type feedingJSON struct {
	Tank  string     `json:"tank"`
	AsOf  time.Time  `json:"as_of"`
	Today []mealJSON `json:"today"`
	Fish  struct {
		Count   float64      `json:"count"`
		Grams   float64      `json:"grams"`
		Unknown int          `json:"unknown"`
		Upkeep  float64      `json:"upkeep_protein_g_per_day"`
		Protein feeding.Mass `json:"protein_g_per_day"` // of the last fortnight
		Short   bool         `json:"short"`
	} `json:"fish"`
	Peak       *float64                `json:"peak_over_mean"` // of what is excreted over the day
	SettlesAt  map[string]*settledJSON `json:"settles_at"`
	NToP       *float64                `json:"nitrogen_to_phosphorus"` // atoms in the water
	Balance    string                  `json:"balance"`
	Alkalinity *standing.Estimate      `json:"alkalinity_of_nitrogen_dKH_30d"`
}

type mealJSON struct {
	At      time.Time   `json:"at"`
	Food    string      `json:"food"`
	Amount  book.Number `json:"amount"`
	Unit    string      `json:"unit"`
	By      string      `json:"by,omitempty"`
	Machine string      `json:"machine,omitempty"`
	Times   int         `json:"times"`
	N       *float64    `json:"N_g"` // null while nobody has said what it holds
	P       *float64    `json:"P_g"`
}

// rockJSON is how likely rock gives and takes of a nutrient, and what part of its
// removal at the usual level that is on average.
type rockJSON struct {
	Chance float64 `json:"chance"`
	Share  float64 `json:"share_of_removal"`
}

type settledJSON struct {
	settlingJSON
	P10      float64            `json:"p10"`
	P50      float64            `json:"p50"`
	P90      float64            `json:"p90"`
	Below    float64            `json:"p_below"`
	Above    float64            `json:"p_above"`
	Yield    *standing.Estimate `json:"yield"` // share of the food that ends in the water; null while not learned
	Rock     *rockJSON          `json:"rock,omitempty"`
	HoldsAim *feeding.Times     `json:"food_that_holds_aim"`
	Cut      *feeding.Times     `json:"harvest_g_per_week"`
}

func (c *feedingCmd) Run(j *job) error {
	dir, err := c.dir(j)
	if err != nil {
		return err
	}
	facts, at, err := j.factsAt(dir, c.Tank, "--as-of", c.AsOf)
	if err != nil {
		return err
	}
	t, err := onlyTank(facts, c.Tank)
	if err != nil {
		return err
	}
	desk := standing.NewDesk()
	b, failed := feeding.Work(desk, facts, t.Tank.Name, at.AddDate(0, 0, -30), at)
	out := feedingOf(facts, t, at)
	if failed == nil {
		out.settle(b)
	}
	out.balance(desk, facts, t.Tank.Name, at)
	if c.JSON {
		return printJSON(j.out, out)
	}
	return out.print(j, t)
}

func feedingOf(f *book.Facts, t *book.TankFacts, at time.Time) *feedingJSON {
	out := &feedingJSON{Tank: t.Tank.Name, AsOf: at, Today: []mealJSON{}, SettlesAt: map[string]*settledJSON{"nitrate": nil, "phosphate": nil}}
	for _, m := range feeding.Today(f, t, at) {
		meal := mealJSON{At: m.At, Food: m.Food, Amount: m.Amount, Unit: m.Unit, By: m.By, Machine: m.Machine, Times: max(m.TimesToday, 1)}
		if m.Known {
			meal.N, meal.P = &m.N, &m.P
		}
		out.Today = append(out.Today, meal)
	}
	r := feeding.RationOf(f, t, at.AddDate(0, 0, -14), at)
	out.Fish.Count, out.Fish.Grams, out.Fish.Unknown, out.Fish.Upkeep = r.Fish.Count, r.Fish.Grams, r.Fish.Unknown, r.Fish.Upkeep
	out.Fish.Protein, out.Fish.Short = r.Protein, r.Short
	if meals := feeding.Pattern(f, t, at); len(meals) > 0 {
		if rate, err := feeding.EvacuationRate(usualWarmth, usualBite); err == nil {
			peak := feeding.PeakOverMean(meals, rate)
			out.Peak = &peak
		}
	}
	return out
}

// The warmth of a reef tank and the size of a bite, for the peak over the day.
const usualWarmth, usualBite = 25.5, 0.05

func (o *feedingJSON) settle(b feeding.Budget) {
	for name, s := range map[string]*feeding.Settling{"nitrate": b.Nitrate, "phosphate": b.Phosphate} {
		if s == nil {
			continue
		}
		x := &settledJSON{settlingJSON: settlingJSON{s.Mean, s.SD, s.Unit, s.Days}, P10: s.P10, P50: s.P50, P90: s.P90, Below: s.Below, Above: s.Above, HoldsAim: s.HoldsAim, Cut: s.Cut}
		if s.Learned {
			x.Yield = &s.Yield
		}
		if s.RockChance > 0 {
			x.Rock = &rockJSON{s.RockChance, s.RockShare}
		}
		o.SettlesAt[name] = x
	}
	o.Alkalinity = &b.Alkalinity
}

func (o *feedingJSON) balance(desk *standing.Desk, f *book.Facts, tank string, at time.Time) {
	nitrate, ok := desk.Level(f, tank, units.Nitrate, at)
	phosphate, also := desk.Level(f, tank, units.Phosphate, at)
	if !ok || !also {
		return
	}
	ratio, says := feeding.Balance(nitrate, phosphate)
	if o.Balance = says; ratio > 0 {
		o.NToP = &ratio
	}
}

func (o *feedingJSON) print(j *job, t *book.TankFacts) error {
	fmt.Fprintf(j.out, "Feeding of %s\n\n", o.Tank)
	for _, m := range o.Today {
		when, who := m.At.In(t.Location).Format("15:04"), ""
		if m.Machine != "" {
			when, who = m.Machine, fmt.Sprintf(", %d so far", m.Times)
		} else if m.By != "" {
			who = ", " + m.By
		}
		fmt.Fprintf(j.out, "Today, %s: %s %s %s%s.\n", when, m.Amount, m.Unit, m.Food, who)
	}
	if len(o.Today) == 0 {
		fmt.Fprintln(j.out, "Nothing was given today, as far as the book knows.")
	}
	if o.Fish.Grams > 0 {
		word := "enough to keep their weight"
		if o.Fish.Short {
			word = "too little to keep their weight"
		}
		fmt.Fprintf(j.out, "%g fish of %s g in all need %s g of protein a day and got %s g in the last fortnight: %s.\n", o.Fish.Count, units.Number(o.Fish.Grams, 0), units.Number(o.Fish.Upkeep, 2), grams(o.Fish.Protein), word)
	}
	if o.Peak != nil {
		fmt.Fprintf(j.out, "What they excrete peaks at %s times the day's average, as fed of late.\n", units.Number(*o.Peak, 1))
	}
	for _, q := range []units.Quantity{units.Nitrate, units.Phosphate} {
		if s := o.SettlesAt[string(q)]; s != nil {
			fmt.Fprintln(j.out, strings.TrimSpace(settledLine(q, s)))
		}
	}
	if o.Balance != "" {
		fmt.Fprintln(j.out, o.Balance)
	}
	return nil
}

func settledLine(q units.Quantity, s *settledJSON) string {
	text := fmt.Sprintf("As fed now %s settles at %s, nearly so in %.0f days; chance below its band %.0f %%, above %.0f %%.", q, units.FormatPM(q, s.Mean, s.SD, s.Unit), s.Days, 100*s.Below, 100*s.Above)
	if h := s.HoldsAim; h != nil {
		text += fmt.Sprintf(" %s (%s to %s) times the food would settle it at the aim.", units.Number(h.P50, 2), units.Number(h.P10, 2), units.Number(h.P90, 2))
	}
	if c := s.Cut; c != nil {
		text += fmt.Sprintf(" Or %s g more of drained harvest a week.", units.Number(c.P50, 0))
	}
	return text
}
