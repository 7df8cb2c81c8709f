package effect

import (
	"fmt"
	"math"
	"time"

	"driftline/units"
)

// Figure writes a value of a result's effect with as many decimals as its
// interval bears.
func Figure(v float64, r Result) string { return units.Number(v, Decimals(r)) }

// Decimals are as many as the interval of a result bears.
func Decimals(r Result) int {
	half := (r.High - r.Low) / 2
	if !(half > 0) || math.IsInf(half, 0) {
		half = math.Max(math.Abs(r.Effect), 1e-6) / 10
	}
	return min(max(1-int(math.Floor(math.Log10(half))), 0), 6)
}

// Longer says how much longer would settle what can't be told yet.
func Longer(days float64) string {
	if math.IsInf(days, 0) {
		return "No length of time would settle it: the time before was too short for that."
	}
	return fmt.Sprintf("About %.0f more days at this pace would settle it in four trials of five.", math.Ceil(days))
}

// mostStarts is the largest number of starts a lot may be drawn from.
const mostStarts = 400

// DailyStarts lists the starts that a lot over days from one to another could
// have fallen on, at the hour of the true one.
func DailyStarts(from, until, start time.Time) ([]time.Time, error) {
	var out []time.Time
	seen := false
	first := time.Date(from.Year(), from.Month(), from.Day(), start.Hour(), start.Minute(), start.Second(), 0, start.Location())
	for at := first; !at.After(until.AddDate(0, 0, 1)) && len(out) <= mostStarts; at = at.AddDate(0, 0, 1) {
		if at.Sub(until) >= 24*time.Hour {
			break
		}
		if at.Equal(start) {
			seen = true
		}
		out = append(out, at)
	}
	switch {
	case len(out) > mostStarts:
		return nil, fmt.Errorf("more than %d days to draw from: expected fewer", mostStarts)
	case !seen:
		return nil, fmt.Errorf("the start %s is none of the days from %s to %s: expected it among them", start.Format("2006-01-02"), from.Format("2006-01-02"), until.Format("2006-01-02"))
	}
	return out, nil
}
