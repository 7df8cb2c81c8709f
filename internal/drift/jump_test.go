package drift

import (
	"math"
	"math/rand/v2"
	"testing"
)

// stopped is a tank held by a pump of 0.6 dKH a day of which half stops unnoticed
// at day 60, read every third day until end with a scatter of 0.15: the level then
// falls by 0.3 a day, by hand arithmetic.
func stopped(end float64) Case {
	rng := rand.New(rand.NewPCG(3, 4))
	c := Case{Habit: HabitOf("alkalinity", "mixed", 1), Kits: []Kit{{SD: 0.15, BiasSD: 0.05}}, Band: Band{7, 9.5}}
	c.Feeds = []Feed{{From: -1, To: 1e6, Rate: 0.6}}
	for t := 0.0; t <= end; t += 3 {
		c.Readings = append(c.Readings, Reading{T: t, Value: 8.4 - 0.3*math.Max(0, t-60) + 0.15*rng.NormFloat64()})
	}
	return c
}

func TestFollowsAPumpThatStopped(t *testing.T) {
	for _, c := range []struct {
		name string
		end  float64
		off  float64 // allowed error of the level
	}{{"two tests after", 66, 0.6}, {"three tests after", 69, 0.4}, {"five tests after", 75, 0.3}} {
		t.Run(c.name, func(t *testing.T) {
			level, demand := analyse(t, stopped(c.end)).Now()
			t.Logf("level %.2f ± %.2f, demand %.2f ± %.2f", level.Mean, level.SD, demand.Mean, demand.SD)
			if want := 8.4 - 0.3*(c.end-60); math.Abs(level.Mean-want) > c.off {
				t.Errorf("level %.2f, want about %.2f", level.Mean, want)
			}
			if net := demand.Mean - 0.6; c.end > 66 && math.Abs(net-0.3) > 0.2 {
				t.Errorf("net loss %.2f dKH a day, want about 0.3", net)
			}
		})
	}
}

func TestJumpCostsAQuietTankLittle(t *testing.T) {
	s := analyse(t, stopped(57))
	day := s.Forecast(Plan{Feeds: []Feed{{From: 57, To: 1e6, Rate: 0.6}}}, 14).Days[14]
	if math.Abs(day.Q[3]-8.4) > 0.3 {
		t.Errorf("median in 14 days %.2f, want about 8.4", day.Q[3])
	}
	if width := day.Q[5] - day.Q[1]; width > 2.5 {
		t.Errorf("80 %% band of %.2f dKH in 14 days after 20 agreeing tests", width)
	}
}

// With nothing fed any more the level sinks towards nothing, not through it.
func TestDemandFadesFarBelow(t *testing.T) {
	s := analyse(t, stopped(57))
	out := s.Forecast(Plan{}, 120)
	mid := out.Days[20].Q[3]
	if late := out.Days[120].Q[3]; late < 0 || late > mid {
		t.Errorf("median %.2f after 20 days and %.2f after 120, want falling and not under 0", mid, late)
	}
	if lost := out.Days[100].Q[3] - out.Days[120].Q[3]; lost > 0.3*0.6*20 {
		t.Errorf("still losing %.2f dKH in 20 days at a level of %.2f", lost, out.Days[100].Q[3])
	}
}

func TestAccountAddsUp(t *testing.T) {
	c := longCase(80, 200)
	end := c.Readings[79].T
	s := analyse(t, c)
	for _, span := range [][2]float64{{end - 30, end}, {10.3, 77.7}, {-5, 1e9}, {c.Changes[3].T, c.Changes[9].T}} {
		a, err := s.Account(span[0], span[1])
		if err != nil {
			t.Fatal(err)
		}
		sum := a.From.Mean + a.Demand.Mean + a.Unexplained.Mean
		for _, list := range [][]Sum{a.Inputs, a.Changes, a.Feeds} {
			for _, x := range list {
				sum += x.Change.Mean
			}
		}
		if math.Abs(sum-a.To.Mean) > 1e-9 {
			t.Errorf("span %v: parts come to %.12f, the level to %.12f", span, sum, a.To.Mean)
		}
		if math.Abs(a.Unexplained.Mean) > 1.5 {
			t.Errorf("span %v: %.2f dKH unexplained of a tank without surprises", span, a.Unexplained.Mean)
		}
	}
	if _, err := s.Account(5, 5); err == nil {
		t.Error("an empty span was accepted")
	}
}

// What the page draws ends where the forecast begins.
func TestHistoryMeetsNowAfterAJump(t *testing.T) {
	c := stopped(75)
	s := analyse(t, c)
	now, _ := s.Now()
	end := s.History([]float64{74.9, 75})[1]
	if math.Abs(end.Mean-now.Mean) > 0.5*now.SD {
		t.Errorf("history ends at %.2f, the level now is %.2f ± %.2f", end.Mean, now.Mean, now.SD)
	}
	a, err := s.Account(60, 75)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(a.To.Mean-now.Mean) > 0.5*now.SD || math.Abs(a.Demand.Mean+0.9*15) > 1.5 {
		t.Errorf("ledger ends at %.2f with a demand of %.1f, want about %.2f and -13.5", a.To.Mean, a.Demand.Mean, now.Mean)
	}
}
