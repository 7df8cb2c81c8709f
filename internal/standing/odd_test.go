package standing

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"
)

// oddLine draws a line that a book would take, however strange.
func oddLine(t *rapid.T, n int) string {
	day := rapid.Float64Range(0, 60).Draw(t, "day")
	if rapid.IntRange(0, 3).Draw(t, "same moment") == 0 {
		day = math.Floor(day)
	}
	pick := func(label string, of ...string) string { return rapid.SampledFrom(of).Draw(t, label) }
	amount := rapid.Float64Range(0, 2000).Draw(t, "amount")
	switch rapid.IntRange(0, 7).Draw(t, "kind") {
	case 0, 1, 2:
		q := pick("quantity", `"alkalinity","unit":"dKH"`, `"nitrate","unit":"mg/L N"`, `"salinity","unit":"SG 25/25"`, `"temperature","unit":"°F"`, `"phosphate","unit":"µg/L PO4"`)
		v := rapid.Float64Range(0, 30).Draw(t, "value")
		switch {
		case q == `"salinity","unit":"SG 25/25"`:
			v = 1 + v/1000
		case q == `"temperature","unit":"°F"`:
			v += 60
		}
		return at(day, fmt.Sprintf(`"kind":"reading","tank":"quay","quantity":%s,"value":%.4f,"instrument":"%s","below":%v`, q, v,
			pick("instrument", "", "drops", "Drops ", "card"), rapid.IntRange(0, 5).Draw(t, "below") == 0))
	case 3:
		return at(day, fmt.Sprintf(`"kind":"dose","tank":"quay","substance":"%s","amount":%.3f,"unit":"%s"`,
			pick("substance", "sodium bicarbonate", "sodium nitrate", "tonic", "stock"), amount, pick("unit", "g", "mL", "L", "mg")))
	case 4:
		return at(day, fmt.Sprintf(`"kind":"water change","tank":"quay","volume":%.3f,"unit":"L"`, amount))
	case 5:
		return at(day, fmt.Sprintf(`"kind":"routine","tank":"quay","name":"r%d","action":"%s","substance":"stock","amount":%.2f,"volume":%.2f,"unit":"mL","every_days":%.3f,"automatic":%v`,
			n%3, pick("action", "dose", "water change", "test"), amount, amount, rapid.Float64Range(0.01, 30).Draw(t, "every"), rapid.Bool().Draw(t, "automatic")))
	case 6:
		return at(day, `"kind":"substance","name":"stock","contains":[{"quantity":"alkalinity","value":2,"unit":"`+pick("per", "meq/mL", "dKH", "meq/g", "nonsense")+`"}]`)
	}
	return at(day, fmt.Sprintf(`"kind":"band","tank":"quay","quantity":"nitrate","unit":"mg/L NO3","%s":%.2f`, pick("side", "low", "high", "aim"), amount/100))
}

// Whatever the log holds, every figure told is a number, quantiles are in
// order, chances are chances, and a next test is never in the past.
func TestOddLogs(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		lines := []string{tankLine()}
		for n := range rapid.IntRange(1, 25).Draw(rt, "lines") {
			lines = append(lines, oddLine(rt, n))
		}
		asOf := onDay(rapid.Float64Range(0, 90).Draw(rt, "as of"))
		all, err := NewDesk().Tank(replay(t, asOf, lines...), "quay", asOf, 14)
		if err != nil {
			rt.Fatal(err)
		}
		for _, q := range all {
			sound(rt, q)
		}
	})
}

func sound(t *rapid.T, q Quantity) {
	for _, e := range []Estimate{q.Level, q.Demand, q.DailySwing} {
		if !finite(e.Mean) || !finite(e.SD) || e.SD < 0 {
			t.Fatalf("%s: %+v", q.Name, e)
		}
	}
	for _, d := range append(q.Forecast, q.HandsOff...) {
		v := []float64{d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95}
		for i := range v {
			if !finite(v[i]) || i > 0 && v[i] < v[i-1]-1e-9*math.Abs(v[i]) {
				t.Fatalf("%s, %s: quantiles %v", q.Name, d.At, v)
			}
		}
		if !(d.POutside >= 0 && d.POutside <= 1) {
			t.Fatalf("%s: chance %g", q.Name, d.POutside)
		}
	}
	if q.NextTest.On.Before(q.AsOf) || q.NextTest.Why == "" || q.Why == "" || q.State == "" {
		t.Fatalf("%s: next test %+v, why %q", q.Name, q.NextTest, q.Why)
	}
	for _, d := range q.Deeds {
		if !finite(d.Effect) {
			t.Fatalf("%s: deed %+v", q.Name, d)
		}
	}
	for _, p := range q.History {
		if !finite(p.Mean) || !finite(p.SD) {
			t.Fatalf("%s: history %+v", q.Name, p)
		}
	}
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
