package chart

import (
	"math"
	"testing"
	"time"

	"driftline/internal/standing"
	"driftline/units"
)

func TestFromQuantity(t *testing.T) {
	high, leaves := 10.0, at("2026-03-20")
	q := standing.Quantity{Tank: "cellar", Name: string(units.Nitrate), Unit: "mg/L NO3", AsOf: at("2026-03-12"), State: standing.NearEdge,
		Band: standing.Band{High: &high}, Level: standing.Estimate{Mean: 9, SD: 1}, Leaves: standing.Leaving{EvenChanceBy: &leaves},
		Readings: []standing.Reading{{At: at("2026-03-01"), Value: 8, SD: 1, Instrument: "colour card", Misread: .7}, {At: at("2026-03-05"), Value: 2, Below: true}},
		History:  []standing.Point{{At: at("2026-03-01"), Mean: 8, SD: 1}, {At: at("2026-03-12"), Mean: 9, SD: 1}},
		Forecast: []standing.Day{{At: at("2026-03-12"), P05: 7, P10: 7.5, P25: 8, P50: 9, P75: 9.5, P90: 10, P95: 11}},
		Deeds:    []standing.Deed{{At: at("2026-03-02"), Label: "water change, 40 L"}, {At: at("2026-03-03"), Label: "harvest, 30 g"}}}
	p := FromQuantity(q, time.UTC)
	if !p.Readings[0].Misread || !p.Readings[1].Below || p.Readings[0].Kit != "colour card" {
		t.Errorf("readings %+v", p.Readings)
	}
	if p.Deeds[0].Kind != WaterChange || p.Deeds[1].Kind != OtherDeed {
		t.Errorf("deeds %+v", p.Deeds)
	}
	if !math.IsNaN(p.Band.Low) || p.Band.High != 10 || !p.Leaves.Equal(leaves) || p.Fan[0].P95 != 11 || len(p.Levels) != 2 {
		t.Errorf("picture %+v", p)
	}
	checkDrawing(t, string(Large(p, Phone, "a")))
}

func TestFromLedger(t *testing.T) {
	s := FromLedger(standing.Ledger{Quantity: "calcium", Tank: "cellar", Unit: "mg/L", Start: at("2026-01-01"), End: at("2026-02-01"),
		From: standing.Estimate{Mean: 420, SD: 5}, To: standing.Estimate{Mean: 415, SD: 5}, Entries: []standing.Entry{
			{Name: "dose", Detail: "calcium chloride", Count: 4, Change: standing.Estimate{Mean: 30, SD: 1}},
			{Name: "demand", Change: standing.Estimate{Mean: -35, SD: 6}}}}, nil)
	const want = "calcium, cellar: level on 1 Jan 2026 420 mg/L; dose, calcium chloride, 4 times +30.0 ± 1.0; demand −35 ± 6; level on 1 Feb 2026 415 mg/L."
	if got := s.describe(); got != want {
		t.Errorf("steps say\n%s, want\n%s", got, want)
	}
}

// A figure with its doubt reads the same in a drawing as in the words beside it.
func TestDoubtReadsAsInUnits(t *testing.T) {
	for _, d := range []Doubted{{1236.4, 18.2}, {7.83, 0.21}, {7.83, .012}, {420, 5}, {.031, .0004}, {25, 0}, {8, 3e-9}, {1400, 96}} {
		for q, unit := range map[units.Quantity]string{units.Magnesium: "mg/L", units.Alkalinity: "dKH", units.Phosphate: "mg/L PO4"} {
			p := Picture{Unit: unit, Decimals: units.Decimals(q, unit)}
			if got, want := p.doubted(d), units.FormatPM(q, d.Mean, d.SD, unit); got != want {
				t.Errorf("%s %+v reads %q in a drawing and %q in words", q, d, got, want)
			}
		}
	}
}
