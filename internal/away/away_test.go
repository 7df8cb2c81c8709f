package away_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"driftline/internal/away"
	"driftline/internal/book"
	"driftline/internal/book/booktest"
	"driftline/internal/standing"
)

var now = time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)

func at(day float64) time.Time { return now.Add(time.Duration(day * 24 * float64(time.Hour))) }

func line(day float64, kind, fields string) string {
	return fmt.Sprintf(`{"kind":%q,"at":%q,"tank":"quay",%s}`, kind, at(day).Format(time.RFC3339), fields)
}

func facts(t *testing.T, texts ...string) *book.Facts {
	t.Helper()
	lines := []book.Line{{Kind: book.KindTank, At: at(-400), ID: "tank", Body: &book.Tank{Name: "quay", System: "mixed", NetVolume: "300", Unit: "L"}}}
	lines = append(lines, booktest.Parse(t, texts...)...)
	return book.Replay(lines, now)
}

// Ten days: a pump of 20 mL a day needs 20 x 10 x 1.2 = 240 mL, evaporation of 1 % of 300 L
// (common practice) 3 x 10 x 1.2 = 36 L; visits every three days are on day 3, 6 and 9.
func TestWhatIsPrepared(t *testing.T) {
	texts := []string{
		line(-60, "routine", `"name":"carbonate pump","action":"dose","substance":"sodium bicarbonate","amount":20,"unit":"mL","every_days":1,"automatic":true`),
		line(-60, "routine", `"name":"weekly change","action":"water change","volume":30,"unit":"L","composition":[{"quantity":"alkalinity","value":8,"unit":"dKH"}],"every_days":7`),
		line(-3, "water change", `"volume":30,"unit":"L","composition":[{"quantity":"alkalinity","value":8,"unit":"dKH"}]`),
		line(-2, "animal", `"name":"the wrasse","group":"fish","count":1,"stage":"quarantine"`)}
	for d := -40.0; d < 0; d += 2 {
		texts = append(texts, line(d, "reading", `"quantity":"alkalinity","value":8.2,"unit":"dKH"`), line(d, "feeding", `"food":"frozen mysis","amount":2,"unit":"g"`))
	}
	f := facts(t, texts...)
	p, err := away.Work(standing.NewDesk(), f, away.Ask{From: at(2), Until: at(12), Every: 3}, now)
	if err != nil {
		t.Fatal(err)
	}
	if p.Days != 10 || len(p.Visits) != 3 || !p.Visits[0].Equal(at(5)) {
		t.Errorf("%d days, visits %v", p.Days, p.Visits)
	}
	tank := p.Tanks[0]
	prepare, before := strings.Join(tank.Prepare, "\n"), strings.Join(tank.Before, "\n")
	for text, in := range map[string]string{"240 mL of sodium bicarbonate": prepare, "36 L of fresh water": prepare, "3 portions of 2 g frozen mysis": prepare, "Weekly change: do it the day before": before, "The wrasse is on its way in": before} {
		if !strings.Contains(in, text) {
			t.Errorf("%q is missing in\n%s", text, in)
		}
	}
}

func TestAbsencesThatCannotBe(t *testing.T) {
	f := facts(t)
	for want, ask := range map[string]away.Ask{
		"before it begins": {From: at(5), Until: at(4)},
		"too long":         {From: at(5), Until: at(200)},
		"to come":          {From: at(-9), Until: at(-2)},
		"half a day":       {From: at(1), Until: at(9), Every: 0.1},
	} {
		if _, err := away.Work(standing.NewDesk(), f, ask, now); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%+v: %v, want %q", ask, err, want)
		}
	}
	if p, err := away.Work(standing.NewDesk(), f, away.Ask{From: at(1), Until: at(9)}, now); err != nil || len(p.Tanks) != 1 || len(p.Tanks[0].Assumed) == 0 {
		t.Errorf("a tank without readings: %+v, %v", p, err)
	}
}

func TestWhatMoved(t *testing.T) {
	a := away.Absence{From: at(0), Until: at(10)}
	q := standing.Quantity{Tank: "quay", Name: "magnesium", Unit: "mg/L", Level: standing.Estimate{Mean: 1250, SD: 10}, Leaves: standing.Leaving{PNow: 0.6},
		History: []standing.Point{{At: at(-1), Mean: 1340, SD: 12}, {At: at(9), Mean: 1330, SD: 12}}}
	still := standing.Quantity{Tank: "quay", Name: "calcium", Unit: "mg/L", Level: standing.Estimate{Mean: 420, SD: 8}, History: []standing.Point{{At: at(0), Mean: 425, SD: 8}}}
	if got := away.Drifted([]standing.Quantity{still, q}, a, at(12)); len(got) != 1 || got[0].Quantity != "magnesium" || got[0].Outside != 0.6 {
		t.Errorf("%+v", got)
	}
	// Long after, only what moved until the end counts: 10 of magnesium is within its doubt.
	if got := away.Drifted([]standing.Quantity{still, q}, a, at(60)); len(got) != 0 {
		t.Errorf("%+v", got)
	}
}

func TestAbsencesKept(t *testing.T) {
	f := book.Replay([]book.Line{
		{ID: "one", Kind: book.KindAbsence, At: at(-5), Body: absence(t, at(0), at(7), "2", "ab")},
		{ID: "two", Kind: book.KindAbsence, At: at(-4), Body: absence(t, at(20), at(27), "", "")},
		{ID: "three", Kind: book.KindAbsence, At: at(-3), Replaces: "one", Body: absence(t, at(0), at(7), "2", "")},
	}, at(1))
	all := away.Kept(f)
	if len(all) != 2 || all[0].Line != "two" || all[1].Line != "three" || len(all[1].Visits()) != 3 || all[0].Visits() != nil {
		t.Fatalf("%+v", all)
	}
	linked := away.Absence{From: at(0), Until: at(7), Link: "x"}
	if !linked.Open(at(8.9)) || linked.Open(at(9.1)) || all[1].Open(at(1)) {
		t.Error("the link is not good until two days after, and only where there is one")
	}
}

func absence(t *testing.T, from, until time.Time, every book.Number, link string) *book.Absence {
	t.Helper()
	return &book.Absence{From: &from, Until: &until, EveryDays: every, Link: strings.Repeat(link, 32)}
}
