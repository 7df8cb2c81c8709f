package cli

import (
	"time"

	"driftline/internal/standing"
)

// likelyMisread is the chance from which a reading is named as a misread.
const likelyMisread = 0.5

// standingJSON is the public form of "drift --json". Add to it, rename nothing.
type standingJSON struct {
	Tank       string         `json:"tank"`
	AsOf       time.Time      `json:"as_of"`
	Quantities []quantityJSON `json:"quantities"`
}

type quantityJSON struct {
	Quantity string             `json:"quantity"`
	Unit     string             `json:"unit"`
	State    standing.State     `json:"state"`
	Why      string             `json:"why"`
	Level    standing.Estimate  `json:"level"`
	Demand   standing.Estimate  `json:"demand_per_day"`
	Swing    *standing.Estimate `json:"daily_swing,omitempty"`
	Band     standing.Band      `json:"band"`
	Forecast []standing.Day     `json:"forecast"`
	HandsOff []standing.Day     `json:"forecast_hands_off"`
	Leaves   standing.Leaving   `json:"leaves_band"`
	NextTest standing.NextTest  `json:"next_test"`
	LastTest *time.Time         `json:"last_test"`
	Misreads []string           `json:"misreads"`
}

func toJSON(t tankStanding) standingJSON {
	out := standingJSON{Tank: t.tank.Tank.Name, AsOf: t.asOf, Quantities: []quantityJSON{}}
	for _, q := range t.quantities {
		out.Quantities = append(out.Quantities, quantityToJSON(q))
	}
	return out
}

func quantityToJSON(q standing.Quantity) quantityJSON {
	out := quantityJSON{
		Quantity: q.Name, Unit: q.Unit, State: q.State, Why: q.Why,
		Level: q.Level, Demand: q.Demand, Band: q.Band,
		Forecast: orEmpty(q.Forecast), HandsOff: orEmpty(q.HandsOff),
		Leaves: q.Leaves, NextTest: q.NextTest, Misreads: misreads(q),
	}
	if q.Simple {
		out.Swing = &q.DailySwing
	}
	if !q.LastTest.IsZero() {
		out.LastTest = &q.LastTest
	}
	return out
}

// misreads lists the readings that are likely to be wrong.
func misreads(q standing.Quantity) []string {
	ids := []string{}
	for _, r := range q.Readings {
		if r.Misread >= likelyMisread {
			ids = append(ids, r.Line)
		}
	}
	return ids
}

// orEmpty makes an absent list an empty one, which JSON tells apart.
func orEmpty[T any](list []T) []T {
	if list == nil {
		return []T{}
	}
	return list
}
