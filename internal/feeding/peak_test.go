package feeding_test

import (
	"math"
	"testing"

	"driftline/internal/book"
	"driftline/internal/feeding"
	"driftline/internal/standing"
)

// By the published formula at 25.5 °C for 0.05 g of prey: 0.049 exp(1.836 + 0.1797) =
// 0.3678 an hour; half empty in ln 2/0.3678 = 1.88 h, nine tenths in 6.26 h.
func TestEvacuation(t *testing.T) {
	r, err := feeding.EvacuationRate(25.5, 0.05)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "rate", r, 0.3678, 0.0002)
	near(t, "half empty", math.Ln2/r, 1.88, 0.01)
	near(t, "nine tenths", math.Log(10)/r, 6.26, 0.01)
	if _, err := feeding.EvacuationRate(60, 0.05); err == nil {
		t.Error("60 °C was accepted")
	}
}

// What leaves the stomach in a day is what was eaten, whatever the number of meals; one
// meal a day peaks at r/(1-exp(-24r)) of the day's food an hour, 24 r times the mean;
// more meals come nearer to the mean.
func TestExcretionOverTheDay(t *testing.T) {
	const r = 0.3678
	last := math.Inf(1)
	for _, n := range []int{1, 2, 3, 7, 24} {
		meals := feeding.Spread(n, 0, 24-24/float64(n))
		sum := 0.0
		for _, v := range feeding.Excretion(meals, r, 24*60) {
			sum += v / 60
		}
		near(t, "a day's excretion", sum, 1, 0.005)
		peak := feeding.PeakOverMean(meals, r)
		if !(peak < last && peak >= 1) {
			t.Errorf("%d meals peak at %v, fewer at %v", n, peak, last)
		}
		last = peak
	}
	near(t, "one meal", feeding.PeakOverMean(feeding.Spread(1, 9, 9), r), 24*r/(1-math.Exp(-24*r)), 1e-9)
}

// A 5 g fish needs 0.43 x 0.005^0.70 = 0.01054 g of protein a day, which is 0.46 % of its
// mass in pellets of 46 % protein (Lupatsch and others 2013, percula clownfish).
func TestUpkeep(t *testing.T) {
	near(t, "one of 5 g", feeding.Upkeep(1, 5), 0.01054, 0.00002)
	near(t, "in pellets", feeding.Upkeep(1, 5)/0.46/5*100, 0.458, 0.001)
}

// Seven fish of 5 g, of which two died and one moved out with its name: 5 x 0.01054 =
// 0.0527 g of protein a day; 0.05 g of pellets of 47 % bring 0.0235 g, less than half.
func TestRation(t *testing.T) {
	f := facts(t, 40,
		line(0, "animal", `"name":"school","group":"fish","count":7,"mass":5,"mass_unit":"g"`),
		line(1, "animal", `"name":"school","what":"died","count":2`),
		line(2, "animal", `"name":"big one","group":"fish","count":1,"mass":80,"mass_unit":"g"`),
		line(3, "animal", `"name":"big one","what":"moved","to":"the pier"`),
		line(4, "animal", `"name":"goby","group":"fish"`), line(4, "animal", `"name":"leather","group":"coral","count":3`),
		line(-5, "routine", `"name":"feeder","action":"feeding","food":"dry pellets","amount":0.05,"unit":"g","every_days":1,"automatic":true`))
	r := feeding.RationOf(f, &f.Tanks[0], at(10), at(40))
	near(t, "fish", r.Fish.Count, 5, 0)
	near(t, "mass", r.Fish.Grams, 25, 1e-12)
	near(t, "upkeep", r.Fish.Upkeep, 0.0527, 0.0001)
	near(t, "protein", r.Protein.Mean, 0.0235, 1e-9)
	if !r.Short || r.Fish.Unknown != 1 {
		t.Errorf("%+v", r)
	}
	near(t, "per cent of mass", r.Percent, 0.2, 1e-9)
}

// Fed twice as much from day 120 on, nitrate has gone from 12 towards 24 mg/L by the
// balance dC/dt = y F - k C with k = 0.05: it settles at 24, and half of the food of now
// would hold it at 12.
func TestTheFeedThatHoldsTheAim(t *testing.T) {
	f := fedFacts(t)
	b, err := feeding.Work(standing.NewDesk(), f, "quay", at(170), at(200))
	if err != nil || b.Nitrate == nil || b.Nitrate.HoldsAim == nil {
		t.Fatalf("%+v, %v", b.Nitrate, err)
	}
	n := b.Nitrate
	near(t, "settles at", n.Mean, 24, 2.5)
	if !n.Learned || math.Abs(n.Yield.Mean-0.2) > 3*n.Yield.SD || n.HoldsAim.P10 > 0.5 || n.HoldsAim.P90 < 0.5 || n.HoldsAim.P50 > 0.8 {
		t.Errorf("yield %+v, holds the aim %+v", n.Yield, n.HoldsAim)
	}
	if n.Cut == nil || n.Cut.P50 <= 0 {
		t.Errorf("a harvest that holds it: %+v", n.Cut)
	}
}

// fedFacts is a tank whose food was doubled on day 120.
func fedFacts(t testing.TB) *book.Facts {
	t.Helper()
	const food = 1.2 / 0.332 // g of pellets a day, whose nitrogen makes 3 mg/L NO3 a day in 400 L; a fifth of it ends in the water
	lines := []string{line(-1, "band", `"quantity":"nitrate","unit":"mg/L NO3","low":2,"aim":12,"high":30`)}
	for _, from := range []float64{0, 120} {
		amount := food
		if from > 0 {
			amount *= 2
		}
		lines = append(lines, line(from, "routine", `"name":"feeder","action":"feeding","food":"dry pellets","amount":`+number(amount)+`,"unit":"g","every_days":1,"automatic":true`))
	}
	for day := 0.0; day <= 200; day += 2 {
		v := 12.0
		if day > 120 {
			v = 24 - 12*math.Exp(-0.05*(day-120))
		}
		lines = append(lines, line(day, "reading", `"quantity":"nitrate","value":`+number(v)+`,"unit":"mg/L NO3","instrument":"photometer"`),
			line(day, "reading", `"quantity":"phosphate","value":0.05,"unit":"mg/L PO4","instrument":"photometer"`))
	}
	return facts(t, 200, lines...)
}

func BenchmarkBudget(b *testing.B) {
	f := fedFacts(b)
	b.ReportAllocs()
	for b.Loop() {
		if _, err := feeding.Work(standing.NewDesk(), f, "quay", at(170), at(200)); err != nil {
			b.Fatal(err)
		}
	}
}
