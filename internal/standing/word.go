package standing

import "math"

// The figures behind the word for how a quantity stands; doc.go says them in
// prose.
const (
	outsideNow     = 0.5
	nearNow        = 0.2
	nearSoon       = 0.3 // within 14 days
	clearTrend     = 2.0 // times its doubt
	trendReach     = 60.0
	trendHalfBand  = 30.0
	fewestReadings = 2
)

// outlookFigures is what the word depends on.
type outlookFigures struct {
	readings  int
	level     Estimate
	trend     Estimate // of the level under the routines, a day
	pNow, p14 float64
	limits    limits
}

func word(o outlookFigures) State {
	switch {
	case o.readings < fewestReadings || o.level.SD > o.limits.width():
		return Unknown
	case o.pNow >= outsideNow:
		return Outside
	case o.pNow >= nearNow || o.p14 >= nearSoon:
		return NearEdge
	case o.drifts():
		return Drifting
	}
	return Steady
}

// drifts says whether the trend is clear and leads somewhere.
func (o outlookFigures) drifts() bool {
	slope := math.Abs(o.trend.Mean)
	if slope == 0 || slope < clearTrend*o.trend.SD {
		return false
	}
	room := o.limits.high - o.level.Mean
	if o.trend.Mean < 0 {
		room = o.level.Mean - o.limits.low
	}
	// Both are false when the limit is missing.
	return room < trendReach*slope || slope*trendHalfBand > o.limits.width()/2
}
