package animals_test

import (
	"math"
	"strings"
	"testing"

	"driftline/internal/animals"
)

// By hand: 5 fish of 4 g at 0.7 % of their weight are fed 0.14 g a day (common practice,
// no source); pellets of 47 % crude protein, 16 % of it nitrogen by definition, hold
// 10.53 mg of it, of which 85 % is not kept: 8.95 mg. Times 62.004/14.007, 7 days, in
// 300 L: 0.924 mg/L of nitrate. Oxygen 140 mg x 0.35 / 24 (from memory) and 8.95 mg x
// 2 x 31.998/14.007 / 24 (two molecules for each of nitrogen): 2.04 + 1.70 mg/h.
func TestLoad(t *testing.T) {
	l := animals.LoadOf(5, 4, 300)
	for _, c := range []struct {
		name      string
		got, want float64
	}{{"feed", l.FeedGrams, 0.14}, {"nitrogen", l.NitrogenMg, 8.949}, {"nitrate", l.NitrateMgL, 0.9243}, {"oxygen", l.OxygenMgH, 3.745}} {
		if math.Abs(c.got-c.want) > 0.001*c.want {
			t.Errorf("%s %.4f, want %.4f", c.name, c.got, c.want)
		}
	}
	if says := l.Says(300, 6.6); !strings.Contains(says, "0.14 g of dry food") || !strings.Contains(says, "in 80 hours") {
		t.Errorf("%s", says)
	}
}

// One after the other: the second batch comes when the first is out of quarantine (42
// days at 26 °C), each meets the others for a week, and two weeks lie between entries.
func TestStocking(t *testing.T) {
	all := register(t, 10,
		line(-50, "reef", `"name":"polyps","group":"coral","species":"torch coral"`),
		line(0, "reef", `"name":"gobies","group":"fish","species":"masked goby","count":3,"mass":1,"mass_unit":"g","stage":"planned"`),
		line(1, "reef", `"name":"the dottyback","group":"fish","species":"orchid dottyback","count":1,"stage":"planned"`),
		line(2, "reef", `"name":"the angel","group":"fish","species":"flame angelfish","count":1,"mass":20,"mass_unit":"g","stage":"planned"`))
	got := animals.Stocking(all, func(string) float64 { return 300 }, 26, at(10))
	if len(got) != 3 || got[0].Name != "gobies" || got[0].Adds == nil || got[1].Adds != nil {
		t.Fatalf("%+v", got)
	}
	for i, want := range []float64{10, 52, 94} {
		if !got[i].Comes.Equal(at(want)) || !got[i].Enters.Equal(at(want+42+7)) {
			t.Errorf("%s comes %v and enters %v, want days %g and %g", got[i].Name, got[i].Comes, got[i].Enters, want, want+49)
		}
	}
	if len(got[1].Notes) != 1 || !strings.Contains(got[1].Notes[0], "comes last") || len(got[2].Notes) != 1 || !strings.Contains(got[2].Notes[0], "pick at corals") || len(got[0].Notes) != 0 {
		t.Errorf("%q, %q, %q", got[0].Notes, got[1].Notes, got[2].Notes)
	}
}
