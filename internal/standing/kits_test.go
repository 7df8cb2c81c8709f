package standing

import (
	"testing"

	"driftline/units"
)

func TestKitErrors(t *testing.T) {
	lines := []string{
		at(0, `"kind":"instrument","name":"drops","quantity":"alkalinity","method":"drop titration","unit":"meq/L","sd":0.1`),
		at(0, `"kind":"instrument","name":"card","quantity":"nitrate","method":"colour card","unit":"mg/L NO3","lower_limit":1`),
		at(0, `"kind":"instrument","name":"full","quantity":"calcium","method":"photometer","unit":"mg/L","sd":4,"relative_sd":0.01,"bias_sd":6,"resolution":2`),
		reading(1, "alkalinity", "2.9", "meq/L", "Drops"), reading(1, "nitrate", "0", "mg/L", "card"), reading(1, "nitrate", "5", "mg/L", ""),
		reading(1, "calcium", "420", "mg/L", "full"), reading(1, "magnesium", "1300", "mg/L", "from the shed"),
	}
	s := surveyOf(t, onDay(2), lines...)
	kitOf := func(q units.Quantity, i int) kit { kits, _ := s.kitsOf(q); return kits[i] }

	drops := kitOf(units.Alkalinity, 0).errors
	near(t, "declared sd, converted", drops.SD, 0.1*2.8043, 1e-3)
	near(t, "bias of the method", drops.BiasSD, 0.35, 1e-12)
	near(t, "resolution as fine as typed", drops.Resolution, 0.1*2.8043, 1e-3)

	near(t, "declared relative sd", kitOf(units.Calcium, 0).errors.RelSD, 0.01, 1e-12)
	near(t, "declared bias", kitOf(units.Calcium, 0).errors.BiasSD, 6, 1e-12)
	near(t, "unknown kit", kitOf(units.Magnesium, 0).errors.SD, 40, 1e-12)
	if name := kitOf(units.Nitrate, 1).name; name != "" {
		t.Errorf("the unnamed kit is called %q", name)
	}
	m := s.newMatter(units.Nitrate)
	if r := m.kase.Readings[0]; !r.Below || r.Value != 1 {
		t.Errorf("a zero on a card that begins at 1 came as %+v", r)
	}
}

func TestRedeclaredKit(t *testing.T) {
	declare := func(day float64, fields string) string {
		return at(day, `"kind":"instrument","name":"kit","quantity":"calcium",`+fields)
	}
	first := declare(0, `"method":"drop titration","unit":"mg/L","sd":10`)
	cases := []struct {
		name, again string
		kits        int
		firstSD     float64
	}{
		{"other figures update it", declare(5, `"method":"drop titration","unit":"mg/L","sd":6`), 1, 6},
		{"another method is a new kit", declare(5, `"method":"photometer","unit":"mg/L","sd":6`), 2, 10},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			s := surveyOf(t, onDay(10), first, c.again, reading(1, "calcium", "400", "mg/L", "kit"), reading(6, "calcium", "400", "mg/L", "kit"))
			kits, of := s.kitsOf(units.Calcium)
			if len(kits) != c.kits || len(of) != 2 {
				t.Fatalf("%d kits, want %d", len(kits), c.kits)
			}
			near(t, "first kit", kits[0].errors.SD, c.firstSD, 1e-12)
		})
	}
}

func TestEveryQuantityHasAnUnknownKit(t *testing.T) {
	for _, q := range units.Quantities() {
		e := methodErrors(q, "no such method")
		if e.sd <= 0 && e.rel <= 0 {
			t.Errorf("%s: no default errors", q)
		}
		if _, ok := natural[q]; !ok {
			t.Errorf("%s: no natural level", q)
		}
		if !defaultLimits("mixed", q).any() {
			t.Errorf("%s: no default band", q)
		}
		if i := IntervalOf(q); !(i.ShortestDays < i.LongestDays) {
			t.Errorf("%s: intervals %+v", q, i)
		}
	}
}
