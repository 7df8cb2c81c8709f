package whatif

import (
	"fmt"
	"strconv"
	"time"
)

// The kinds of change.
const (
	Stop             = "stop"
	StopsDosing      = "stop dosing"
	StopWaterChanges = "stop water changes"
	OneMoreRoutine   = "routine"
	OneDose          = "dose"
	WaterChange      = "water change"
	TopOff           = "top-off"
	Demand           = "demand"
	Food             = "food"
	MoreFood         = "more food"
	Harvest          = "harvest"
)

// GoOn is going on as declared.
func GoOn() Plan { return Plan{Name: "go on"} }

// StopDosing gives no more doses, by hand or machine.
func StopDosing() Plan {
	return Plan{Name: "stop dosing", Changes: []Change{{What: StopsDosing}}}
}

// ChangesOf puts water changes of a share of the water, every so many days, in
// the place of the declared ones.
func ChangesOf(share, everyDays float64, mix string) Plan {
	return Plan{Name: fmt.Sprintf("change %s %% every %s days", trim(100*share), trim(everyDays)),
		Changes: []Change{{What: StopWaterChanges}, {What: WaterChange, Share: share, EveryDays: everyDays, Mix: mix}}}
}

// Away stops all hand work for so many days from a moment on: only machines run.
// Afterwards what fell due meanwhile is done once.
func Away(from time.Time, days float64) Plan {
	until := from.Add(time.Duration(days * 24 * float64(time.Hour)))
	return Plan{Name: "away " + trim(days) + " days", Changes: []Change{{What: Stop, From: from, Until: until}}}
}

func trim(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
