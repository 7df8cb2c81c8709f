package rounds

import (
	"strings"
	"testing"
)

// A machine gives 20 g a day. 200 g counted this morning at 9 last ten days, to the
// 13th of March at 9; 600 g last thirty, which is no row yet; with a plan that takes 20 g on
// day 40 it is one again, for 600 g are gone before the plan ends.
func TestWhatRunsOutOnTheShelf(t *testing.T) {
	tank := at(-60, `"kind":"tank","name":"quay","net_volume":400,"unit":"L"`)
	pump := at(-60, `"kind":"routine","tank":"quay","name":"pump","action":"dose","substance":"calcium chloride dihydrate","amount":20,"unit":"g","every_days":1,"automatic":true`)
	count := func(grams string) string {
		return at(0, `"kind":"stock","substance":"calcium chloride dihydrate","amount":`+grams+`,"unit":"g"`)
	}
	find := func(lines ...string) (out []Row) {
		for _, r := range sheetOn(t, onDay(0), lines...).Rows {
			if r.Kind == RunsOut || r.Kind == CountAgain {
				out = append(out, r)
			}
		}
		return out
	}
	rows := find(tank, pump, count("200"))
	if len(rows) != 1 || rows[0].On.Format("2 January") != "13 March" || rows[0].Action.Do != "stock" || rows[0].Action.Substance != "calcium chloride dihydrate" ||
		!strings.Contains(rows[0].Title, "runs out about Thursday 13 March") || !strings.Contains(rows[0].Why, "200 g left") || !strings.Contains(rows[0].Why, "pump, quay: 140 g a week") {
		t.Errorf("%+v", rows)
	}
	if rows = find(tank, pump, count("600")); len(rows) != 0 {
		t.Errorf("a month's stock is a row: %+v", rows)
	}
	plan := `{"at":"2025-03-03T08:00:00Z","kind":"correction","id":"p","tank":"quay","quantity":"calcium","aim":430,"unit":"mg/L","substance":"calcium chloride dihydrate","steps":[{"at":"2025-04-12T08:00:00Z","amount":20,"unit":"g"}]}`
	if rows = find(tank, pump, count("600"), plan); len(rows) != 1 || !strings.Contains(rows[0].Why, "correction of calcium, quay: 20 g in all, to 12 April") {
		t.Errorf("what runs out before the end of a plan: %+v", rows)
	}
	wrong := at(-30, `"kind":"stock","substance":"calcium chloride dihydrate","amount":100,"unit":"g"`)
	if rows = find(tank, pump, wrong); len(rows) != 1 || rows[0].Kind != CountAgain || !strings.Contains(rows[0].Why, "500 g more was used than was there") {
		t.Errorf("30 days of 20 g from 100 g: %+v", rows)
	}
}
