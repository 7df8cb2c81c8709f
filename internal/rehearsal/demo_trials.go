package rehearsal

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"time"

	"driftline/internal/book"
)

// demoTrials are four trials. Three are over: more flow in the reading room, which
// clearly helped; the same food there in smaller meals, where one kit and no other
// tank can't tell; food after dark on the raising bench, spoiled by a net opened a
// week later. One is running: more rinsing on that bench.
func demoTrials(now time.Time, loc *time.Location) []book.Line {
	w := &watcher{now: now, loc: loc, r: stream(2027, 2)}
	w.moreFlow()
	w.smallMeals()
	w.lateFood()
	w.moreRinsing()
	return w.lines
}

type watcher struct {
	now   time.Time
	loc   *time.Location
	r     *rand.Rand
	lines []book.Line
}

func (w *watcher) when(ago int, hour float64) time.Time {
	return midnight(w.now, w.loc, ago).Add(time.Duration(hour * float64(time.Hour))).Truncate(time.Minute)
}

func (w *watcher) add(tank string, ago int, hour float64, kind book.Kind, note string, body book.Body) {
	at := w.when(ago, hour)
	w.lines = append(w.lines, book.Line{ID: lineID(at, w.r), Kind: kind, At: at, Tank: tank, Note: note, Body: body})
}

func (w *watcher) day(ago int) *time.Time {
	at := midnight(w.now, w.loc, ago)
	return &at
}

// watch scores a sign every few days; its weather wanders and comes back within a
// week or so.
func (w *watcher) watch(tank, sign string, from, until, every int, level func(ago int) float64) {
	mood := 0.0
	for ago := from; ago >= until; ago -= every {
		mood = 0.6*mood + 0.35*w.r.NormFloat64()
		seen := math.Round(level(ago) + mood + 0.3*w.r.NormFloat64())
		seen = math.Max(0, math.Min(4, seen))
		w.add(tank, ago, 17.8+0.5*w.r.NormFloat64(), book.KindScore, "", &book.Score{Sign: sign, Value: book.Number(strconv.Itoa(int(seen)))})
	}
}

func (w *watcher) set(tank string, ago int, hour float64, device, property string, value int, unit, why string) {
	w.add(tank, ago, hour, book.KindSetting, why, &book.Setting{Equipment: device, Property: property, Value: json.RawMessage(strconv.Itoa(value)), Unit: unit})
}

func (w *watcher) moreFlow() {
	const came, ends = 84, 19
	w.add("reading room", came+2, 19.4, book.KindTrial, "", &book.Trial{Name: "more flow behind the arch",
		Question: "Does less waste settle when the flow pump runs harder?", Change: "flow pump from 70 to 90 %",
		On: []book.Phase{{From: w.day(came)}}, Ends: w.day(ends), Comparison: []string{"prep room"}, SettleDays: "7",
		Outcomes: []book.Outcome{
			{What: "score", Of: "settled waste", Hoped: "fall", Matters: "0.5", EveryDays: "3"},
			{What: "interval", Of: "glass cleaned", Hoped: "rise", Matters: "1.3"}},
		StopWhen: []book.StopRule{{Sign: "polyp extension", Is: "at most", Value: "1", Times: "2"}}})
	w.set("reading room", came, 8.2, "flow pump", "power", 90, "%", "the trial begins")
	season := func(ago int) float64 { return 0.3 * math.Sin(2*math.Pi*float64(ago)/120) }
	w.watch("reading room", "settled waste", 177, ends, 3, func(ago int) float64 {
		if ago < came {
			return 1.1 + season(ago)
		}
		return 2.6 + season(ago)
	})
	w.watch("prep room", "settled waste", 176, ends, 3, func(ago int) float64 { return 2.1 + season(ago) })
}

func (w *watcher) smallMeals() {
	w.add("reading room", 135, 18.2, book.KindTrial, "", &book.Trial{Name: "the same mysis in small meals",
		Question: "Does the same food leave less nitrate in smaller meals?", Change: "2 g of mysis once becomes 0.5 g four times",
		On: []book.Phase{{From: w.day(134)}}, Ends: w.day(93), SettleDays: "7",
		Outcomes: []book.Outcome{{What: "reading", Of: "nitrate", Unit: "mg/L NO3", Hoped: "fall", Matters: "1", EveryDays: "7"}},
		StopWhen: []book.StopRule{{Quantity: "nitrate", Is: "below", Value: "1", Unit: "mg/L NO3", Times: "2"}}})
}

func (w *watcher) lateFood() {
	const came, ends = 75, 32
	w.add("raising bench", came+1, 20.5, book.KindTrial, "", &book.Trial{Name: "plankton after dark",
		Question: "Do polyps open further when they are fed after dark?", Change: "powdered plankton at ten at night, not at dusk",
		On: []book.Phase{{From: w.day(came)}}, Ends: w.day(ends), SettleDays: "10",
		Outcomes: []book.Outcome{{What: "score", Of: "polyps at night", Hoped: "rise", Matters: "0.5", EveryDays: "3"}},
		StopWhen: []book.StopRule{{Sign: "polyps at night", Is: "at most", Value: "0", Times: "2"}}})
	w.set("raising bench", came-6, 9.4, "shade net", "lets through", 70, "%", "three grey weeks; should have waited for the trial")
	w.watch("raising bench", "polyps at night", 160, ends, 3, func(ago int) float64 {
		if ago < came-6 {
			return 2.7
		}
		return 2
	})
}

func (w *watcher) moreRinsing() {
	const came, ends = 13, -43
	w.add("raising bench", came+2, 20.1, book.KindTrial, "", &book.Trial{Name: "prefilter rinsed twice a week",
		Question: "Does film come more slowly when the prefilter is rinsed twice a week?", Change: "prefilter rinsed on Sundays and Thursdays, not on Sundays alone",
		On: []book.Phase{{From: w.day(came)}}, Ends: w.day(ends), SettleDays: "3",
		Outcomes: []book.Outcome{{What: "score", Of: "film on the panes", Hoped: "fall", Matters: "0.5", EveryDays: "4"}},
		StopWhen: []book.StopRule{{Quantity: "nitrate", Is: "below", Value: "1", Unit: "mg/L NO3", Times: "2"}}})
	w.watch("raising bench", "film on the panes", 81, 5, 4, func(int) float64 { return 1.8 })
}
