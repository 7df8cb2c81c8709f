package cli

import (
	"time"

	"driftline/internal/chart"
	"driftline/internal/standing"
)

// The small picture of a row: so many characters for so much past and future.
const (
	sparkWidth  = 20
	sparkPast   = 45 * 24 * time.Hour
	sparkFuture = 15 * 24 * time.Hour
	sparkHead   = "45 days, and 15 ahead"
)

// spark draws the smoothed level and the middle of the forecast in one line.
func spark(q standing.Quantity) string {
	p := chart.Picture{Name: q.Name, Unit: q.Unit, From: q.AsOf.Add(-sparkPast), To: q.AsOf.Add(sparkFuture),
		Today: q.AsOf, Band: chart.NoBand()}
	for _, h := range q.History {
		p.Levels = append(p.Levels, chart.Level{At: h.At, Mean: h.Mean, SD: h.SD})
	}
	for _, d := range q.Forecast {
		p.Fan = append(p.Fan, chart.Day{At: d.At, P05: d.P05, P10: d.P10, P25: d.P25, P50: d.P50, P75: d.P75, P90: d.P90, P95: d.P95})
	}
	return chart.Line(p, sparkWidth)
}
