package chart

import (
	"fmt"
	"math"
	"time"

	"driftline/internal/standing"
	"driftline/internal/waterbench"
	"driftline/units"
)

// surelyMisread is the chance from which a reading is drawn as a misread.
const surelyMisread = 0.5

// FromQuantity is the picture of a standing, in the zone of its tank.
func FromQuantity(q standing.Quantity, zone *time.Location) Picture {
	p := Picture{
		Name: q.Name + ", " + q.Tank, Unit: q.Unit, Decimals: units.Decimals(units.Quantity(q.Name), q.Unit),
		Zone: zone, Today: q.AsOf, State: string(q.State),
		Now:  Doubted{q.Level.Mean, q.Level.SD},
		Band: Band{orNaN(q.Band.Low), orNaN(q.Band.Aim), orNaN(q.Band.High)},
	}
	if t := q.Leaves.EvenChanceBy; t != nil && q.State != standing.Unknown {
		p.Leaves = *t
	}
	for _, r := range q.Readings {
		p.Readings = append(p.Readings, Reading{At: r.At, Value: r.Value, SD: r.SD, Kit: r.Instrument,
			Below: r.Below, Misread: r.Misread >= surelyMisread})
	}
	for _, l := range q.History {
		p.Levels = append(p.Levels, Level(l))
	}
	for _, d := range foreseen(q) {
		p.Fan = append(p.Fan, Day{d.At, d.P05, d.P10, d.P25, d.P50, d.P75, d.P90, d.P95})
	}
	for _, d := range q.Deeds {
		p.Deeds = append(p.Deeds, Deed{d.At, KindOf(d.Label), d.Label})
	}
	return p
}

// foreseen is the forecast: none from a single reading, which says nothing of
// where the level goes.
func foreseen(q standing.Quantity) []standing.Day {
	if q.State == standing.Unknown && len(q.Readings) < 2 {
		return nil
	}
	return q.Forecast
}

func orNaN(v *float64) float64 {
	if v == nil {
		return math.NaN()
	}
	return *v
}

// FromLedger is the flow of a ledger, in the zone of its tank.
func FromLedger(l standing.Ledger, zone *time.Location) Steps {
	if zone == nil {
		zone = time.UTC
	}
	s := Steps{
		Name: l.Quantity + ", " + l.Tank, Unit: l.Unit,
		Decimals:   units.Decimals(units.Quantity(l.Quantity), l.Unit),
		StartWords: "level on " + l.Start.In(zone).Format("2 Jan 2006"),
		EndWords:   "level on " + l.End.In(zone).Format("2 Jan 2006"),
		Start:      Doubted(l.From), End: Doubted(l.To),
	}
	for _, e := range l.Entries {
		words := e.Name
		if e.Detail != "" {
			words += ", " + e.Detail
		}
		if e.Count > 1 {
			words += fmt.Sprintf(", %d times", e.Count)
		}
		s.Parts = append(s.Parts, Step{words, Doubted(e.Change)})
	}
	return s
}

// FromSeries is the picture of a figure worked out over time from a tank's
// readings. Its limits stand where a band would.
func FromSeries(s waterbench.Series, tank string, asOf time.Time, zone *time.Location) Picture {
	p := Picture{Name: s.Title + ", " + tank, Unit: s.Unit, Zone: zone, Today: asOf, Derived: true,
		Band: Band{orNaN(s.Low), orNaN(s.Mark), orNaN(s.High)}, AimName: s.MarkName}
	if n := len(s.Points); n > 0 {
		last := s.Points[n-1]
		p.Now, p.Decimals = Doubted{last.Mean, last.SD}, 2
		if last.SD > 0 {
			p.Decimals = doubtDecimals(last.SD)
		}
	}
	for _, q := range s.Points {
		p.Readings = append(p.Readings, Reading{At: q.At, Value: q.Mean, SD: q.SD})
	}
	return p
}

// Joined draws the figures as one line, as fits a row.
func (p Picture) Joined() Picture {
	p.Levels = nil
	for _, r := range p.Readings {
		p.Levels = append(p.Levels, Level{At: r.At, Mean: r.Value})
	}
	return p
}

// FromDiagnosis is where a tank stands by alkalinity and pH over the lines of
// equal carbon dioxide.
func FromDiagnosis(d waterbench.PHDiagnosis, zone *time.Location) Plane {
	p := Plane{Name: "pH and alkalinity, " + d.Tank, Third: "carbon dioxide in the water, µatm", Zone: zone, GoalWords: "where balance with open air would bring it",
		X: Axis{string(units.Alkalinity), d.AlkalinityUnit, units.Decimals(units.Alkalinity, d.AlkalinityUnit), limits(d.AlkalinityBand)},
		Y: Axis{string(units.PH), d.PHUnit, units.Decimals(units.PH, d.PHUnit), limits(d.PHBand)}}
	for _, l := range d.Lines {
		line := Isoline{Label: number(l.UAtm, 0), Main: l.OpenAir}
		for _, q := range l.Points {
			line.Points = append(line.Points, [2]float64{q.Alkalinity.Mean, q.PH.Mean})
		}
		p.Lines = append(p.Lines, line)
	}
	for _, q := range d.Recent {
		if q.At.Before(d.Newest.At) {
			p.Spots = append(p.Spots, spotOf(q))
		}
	}
	p.Spots = append(p.Spots, spotOf(d.Newest))
	p.Goal = &Spot{X: d.Level.Alkalinity.Mean, Y: d.Aired.PH.Mean}
	return p
}

func spotOf(q waterbench.Place) Spot {
	return Spot{q.At, q.Alkalinity.Mean, q.PH.Mean, q.Alkalinity.SD, q.PH.SD}
}

func limits(l waterbench.Limits) Band { return Band{orNaN(l.Low), orNaN(l.Aim), orNaN(l.High)} }
