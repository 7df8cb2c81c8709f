package standing

import (
	"fmt"
	"testing"
)

// fedDays are lines of one meal of pellets a day, 47 % protein and so 7.52 % nitrogen:
// 1 g in 400 L makes 0.0752 x 62.004/14.007 x 1000/400 = 0.8322 mg/L of nitrate if all of
// it ends as that.
func fedDays(from, to, grams float64) (lines []string) {
	for d := from; d < to; d++ {
		lines = append(lines, at(d, fmt.Sprintf(`"kind":"feeding","tank":"quay","food":"pellets","amount":%g,"unit":"g"`, grams)))
	}
	return lines
}

func nitrates(to float64) (lines []string) {
	for d := 0.0; d <= to; d += 4 {
		lines = append(lines, reading(d, "nitrate", "8", "mg/L NO3", "photometer"))
	}
	return lines
}

func TestFoodIsToldToTheEngine(t *testing.T) {
	const one = 0.8322
	m := surveyOf(t, onDay(60), append(nitrates(60), append(fedDays(0, 50, 1), fedDays(50, 60, 2)...)...)...).newMatter("nitrate")
	if len(m.kase.Food) != 2 {
		t.Fatalf("%+v, want two pieces", m.kase.Food)
	}
	near(t, "at first", m.kase.Food[0].Rate, one, 1e-3)
	near(t, "then", m.kase.Food[1].Rate, 2*one, 1e-3)
	near(t, "of late, none of it from before the change", m.handFood, 2*one, 1e-3)
}

// Nobody wrote anything down for three weeks: the fish were fed as before.
func TestDaysNobodyWroteDownAreAsUsual(t *testing.T) {
	m := surveyOf(t, onDay(60), append(nitrates(60), append(fedDays(0, 20, 1), fedDays(41, 60, 1)...)...)...).newMatter("nitrate")
	for _, f := range m.kase.Food {
		near(t, "a day that was or was not written down", f.Rate, 0.8322, 1e-3)
	}
	near(t, "days told", toldDays(m.kase.Food), 60, 1)
	// Two days without a meal are a fast.
	m = surveyOf(t, onDay(60), append(nitrates(60), append(fedDays(0, 20, 1), fedDays(22, 60, 1)...)...)...).newMatter("nitrate")
	if len(m.kase.Food) != 3 || m.kase.Food[1].Rate != 0 {
		t.Errorf("%+v, want a gap of nothing", m.kase.Food)
	}
}

// Of food that nobody can weigh, or only a few days of it, the engine is told nothing.
func TestFoodThatCannotBeCounted(t *testing.T) {
	var pinches []string
	for d := 0.0; d < 60; d++ {
		pinches = append(pinches, at(d, `"kind":"feeding","tank":"quay","food":"flake","amount":1,"unit":"pinch"`))
	}
	for name, lines := range map[string][]string{"pinches": pinches, "three days": fedDays(0, 3, 1)} {
		if m := surveyOf(t, onDay(60), append(nitrates(60), lines...)...).newMatter("nitrate"); len(m.kase.Food) != 0 {
			t.Errorf("%s: %+v", name, m.kase.Food)
		}
	}
	if m := surveyOf(t, onDay(60), append(nitrates(60), fedDays(0, 60, 1)...)...).newMatter("calcium"); len(m.kase.Food) != 0 {
		t.Error("calcium is told of food")
	}
}

// A feeder told of from the start, meals by hand only from day 30 on: before, hands are
// taken to have fed as they did then. Three meals tell nothing and are left out.
func TestAFeederBeforeTheFirstMealByHand(t *testing.T) {
	feeder := at(-5, `"kind":"routine","tank":"quay","name":"feeder","action":"feeding","food":"pellets","amount":1,"unit":"g","every_days":1,"automatic":true`)
	m := surveyOf(t, onDay(60), append(nitrates(60), append(fedDays(30, 60, 0.5), feeder)...)...).newMatter("nitrate")
	near(t, "days told", toldDays(m.kase.Food), 60, 1)
	for _, f := range m.kase.Food {
		near(t, "fed", f.Rate, 1.5*0.8322, 1e-3)
	}
	m = surveyOf(t, onDay(60), append(nitrates(60), append(fedDays(50, 53, 9), feeder)...)...).newMatter("nitrate")
	if len(m.kase.Food) != 1 {
		t.Fatalf("%+v, want the feeder alone", m.kase.Food)
	}
	near(t, "the feeder alone", m.kase.Food[0].Rate, 0.8322, 1e-3)
}

func TestFeedersGoOn(t *testing.T) {
	feeder := at(-5, `"kind":"routine","tank":"quay","name":"feeder","action":"feeding","food":"pellets","amount":0.5,"unit":"g","every_days":0.5,"automatic":true`)
	m := surveyOf(t, onDay(60), append(nitrates(60), feeder)...).newMatter("nitrate")
	ahead := m.foodAhead(dayOf(onDay(60)), 30, true)
	if len(ahead) != 1 {
		t.Fatalf("%+v, want one piece", ahead)
	}
	near(t, "a machine feeds on while nobody comes", ahead[0].Rate, 0.8322, 1e-3)
}
