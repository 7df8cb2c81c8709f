package correction_test

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"driftline/internal/book"
	"driftline/internal/correction"
	"driftline/internal/standing"
	"driftline/units"
)

var magnesium = correction.Ask{Quantity: units.Magnesium, To: to(1400), Unit: "mg/L", Substance: "magnesium chloride"}

// taken is a plan as lines of the log, its own line named plan-1.
func taken(t *testing.T, p correction.Plan, at time.Time, id string) []string {
	t.Helper()
	lines, err := correction.Accept(p, at)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for i, l := range lines {
		if l.ID = fmt.Sprint(id, "-end-", i); i == len(lines)-1 {
			l.ID = id
		}
		text, err := book.AppendJSON(nil, l)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(text))
	}
	return out
}

func stands(t *testing.T, f *book.Facts, at time.Time) []correction.Standing {
	t.Helper()
	all, err := correction.Stand(f, "quay", at)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func levelIn(t *testing.T, f *book.Facts, at time.Time, days int) float64 {
	t.Helper()
	q, err := standing.NewDesk().Quantity(f, "quay", "magnesium", at, days)
	if err != nil {
		t.Fatal(err)
	}
	return q.Forecast[days].Mean
}

// Once a reading has stopped a plan, the forecast is that of a tank whose plan was
// ended, and it counts the plan again when the keeper lets it go on.
func TestTheForecastLeavesOutAStoppedPlan(t *testing.T) {
	p := work(t, facts(t, "magnesium", "mg/L", 1240, 0.6), magnesium)
	plan := taken(t, p, asOf, "plan-1")[0]
	c := p.Checks[0]
	at := c.At.Add(time.Hour)
	line := func(kind, rest string, after time.Duration) string {
		return fmt.Sprintf(`{"kind":%q,"at":%q,"tank":"quay",%s}`, kind, c.At.Add(after).Format(time.RFC3339), rest)
	}
	wrong := line("reading", fmt.Sprintf(`"quantity":"magnesium","value":%.0f,"unit":"mg/L"`, c.Low-40), 0)
	stopped := facts(t, "magnesium", "mg/L", 1240, 0.6, plan, wrong)
	ended := facts(t, "magnesium", "mg/L", 1240, 0.6, plan, wrong, line("plan end", `"plan":"plan-1"`, time.Minute))
	gone := facts(t, "magnesium", "mg/L", 1240, 0.6, plan, wrong, line("plan resume", `"plan":"plan-1","why":"misread"`, time.Minute))
	if s := stands(t, stopped, at); s[0].State != correction.Stopped || s[0].Next != nil {
		t.Errorf("after a reading at odds: %+v", s[0])
	}
	if a, b := levelIn(t, stopped, at, 10), levelIn(t, ended, at, 10); math.Abs(a-b) > 1e-6 {
		t.Errorf("in ten days %v with a stopped plan, %v with an ended one", a, b)
	}
	if a, b := levelIn(t, gone, at, 10), levelIn(t, ended, at, 10); a-b < 30 {
		t.Errorf("in ten days %v with a plan that goes on, %v with an ended one", a, b)
	}
	if s := stands(t, gone, at); s[0].State != correction.Running {
		t.Errorf("gone on with: %+v", s[0])
	}
}

// Two doses missed: the rest worked out again reaches the aim from today's level,
// takes the place of the old plan, and nothing is planned twice.
func TestTheRestWorkedOutAgain(t *testing.T) {
	first := work(t, facts(t, "magnesium", "mg/L", 1240, 0.6), magnesium)
	old := taken(t, first, asOf, "plan-1")[0]
	f := facts(t, "magnesium", "mg/L", 1240, 0.6, old)
	at := first.Steps[2].At.Add(4 * time.Hour)
	if s := stands(t, f, at); s[0].Missed != 2 || !s[0].Behind() {
		t.Fatalf("%+v", s[0])
	}
	ask := magnesium
	ask.Tank = "quay"
	if p, err := correction.Work(standing.NewDesk(), f, ask, at); err != nil || !strings.Contains(p.Refused, "still under way") {
		t.Fatalf("a second plan beside the first: %+v, %v", p, err)
	}
	ask.Anew = true
	p, err := correction.Work(standing.NewDesk(), f, ask, at)
	if err != nil || p.Refused != "" || len(p.Replaces) != 1 || p.Replaces[0] != "plan-1" {
		t.Fatalf("%+v, %v", p, err)
	}
	if math.Abs(p.After.Mean-1400) > 2 || !p.Steps[0].At.After(at) || p.Total.Amount < first.Total.Amount*0.99 {
		t.Errorf("ends at %v, begins at %v, %v g against %v g", p.After, p.Steps[0].At, p.Total.Amount, first.Total.Amount)
	}
	f = facts(t, "magnesium", "mg/L", 1240, 0.6, append([]string{old}, taken(t, p, at, "plan-2")...)...)
	after := at.Add(time.Minute)
	if s := stands(t, f, after); len(s) != 2 || s[0].State != correction.Running || s[1].State != correction.Ended {
		t.Errorf("%+v", s)
	}
	tank, _ := f.Tank("quay")
	sum := 0.0
	for _, d := range standing.PlannedDoses(tank, after) {
		v, _ := d.Amount.Float()
		sum += v
	}
	if math.Abs(sum-p.Total.Amount) > 0.01 {
		t.Errorf("%v g are planned, the new plan alone has %v", sum, p.Total.Amount)
	}
}

func effect(p correction.Plan, what, over string) (float64, bool) {
	for _, e := range p.SideEffects {
		if e.What == what && strings.Contains(e.Over, over) {
			return e.Change, true
		}
	}
	return 0, false
}

// By hand: a German degree is 10 mg/L of CaO, 56.077 g/mol, so 2·10/56.077 = 0.35666
// meq/L (DIN 38409-6, from memory); 84.006 g of NaHCO3 a mole, so that d dKH a
// day in 400 L take d·0.35666·400·84.006/1000 g a day; 22.990/84.006 of it is sodium
// (IUPAC 2021). Without water changes a year leaves 365 days' worth. Changing 40 L of
// 400 L each week takes out a tenth each time: k = −ln(0.9)/7 = 0.0150515 a day, and
// (1 − exp(−365 k))/k = (1 − 0.004114)/0.0150515 = 66.165 days' worth.
func TestAYearOfKeepingTheLevelUp(t *testing.T) {
	change := `{"kind":"routine","at":"2025-10-01T08:00:00Z","tank":"quay","name":"change","action":"water change","volume":40,"unit":"L","every_days":7,"automatic":true,"composition":[{"quantity":"calcium","value":420,"unit":"mg/L"}]}`
	ask := correction.Ask{Quantity: units.Alkalinity, To: to(8.5), Unit: "dKH", Substance: "sodium bicarbonate"}
	for _, c := range []struct {
		more  []string
		worth float64
	}{{nil, 365}, {[]string{change}, 66.165}} {
		p := work(t, facts(t, "alkalinity", "dKH", 7.2, 0.15, c.more...), ask)
		sodium := p.Demand.Mean * 0.35666 * 400 * 84.006 / 1000 * c.worth * (22.990 / 84.006) / 400 * 1000
		got, ok := effect(p, "sodium", "year")
		if !ok || math.Abs(got-sodium) > 0.002*sodium {
			t.Errorf("a year leaves %v mg/L of sodium, by hand %v; demand %v", got, sodium, p.Demand)
		}
		// Sodium is all that stays. Density of seawater of 35 at 25 °C: 1023.34 kg/m3
		// (Millero & Poisson 1981); reference salinity 35.16504/35 g/kg a PSU.
		if psu, ok := effect(p, "salinity", "year"); ok && math.Abs(psu-sodium/1023.34/(35.16504/35)) > 0.002*psu {
			t.Errorf("a year leaves %v PSU", psu)
		}
		if !strings.Contains(p.Year, "a year") {
			t.Error(p.Year)
		}
	}
}

// Carbonate lifts the pH the more the more of it comes at once: the whole of a plan
// must move it several times as far as one of its doses.
func TestTheJumpAtOnceStandsBesideThatOfADose(t *testing.T) {
	p := work(t, facts(t, "alkalinity", "dKH", 6.8, 0.02), correction.Ask{Quantity: units.Alkalinity, To: to(8.5), Unit: "dKH", Substance: "sodium carbonate"})
	one, ok := effect(p, "pH", "one dose")
	all, also := effect(p, "pH", "at once")
	if !ok || !also || all < one*float64(len(p.Steps))/2 || one > 0.11 {
		t.Errorf("%v a dose, %v at once, %d doses", one, all, len(p.Steps))
	}
}
