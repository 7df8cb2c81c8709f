package web

import (
	"strconv"

	"driftline/internal/book"
	"driftline/units"
)

// sampleAsk asks how warm the sample was. The page shows it only beside a unit
// that hangs on it: a hydrometer floats higher in cold water, a probe without
// compensation reads less.
type sampleAsk struct {
	Value string
	Units []option
}

// sampleAskOf is the question for a quantity, nil where the answer changes
// nothing. Its unit is the one the tank's sample was last told in.
func sampleAskOf(t *book.TankFacts, quantity string) *sampleAsk {
	if !same(quantity, string(units.Salinity)) {
		return nil
	}
	a := &sampleAsk{}
	last := used(t, func(l book.Line) string {
		if r, ok := l.Body.(*book.Reading); ok && same(r.Quantity, quantity) {
			return r.TemperatureUnit
		}
		return ""
	}, 1)
	if len(last) == 0 {
		last = append(last, units.Temperature.Default())
	}
	a.setUnit(last[0])
	return a
}

func (a *sampleAsk) setUnit(unit string) {
	u := field{Options: options(units.Temperature.Units()...), Input: "choice"}
	u.choose(unit)
	a.Units = u.Options
}

func (a *sampleAsk) unit() string {
	for _, o := range a.Units {
		if o.Chosen {
			return o.Value
		}
	}
	return units.Temperature.Default()
}

// sampleMatters tells whether a reading in this unit is corrected for the
// temperature of its sample.
func sampleMatters(unit string) bool {
	return units.MindsTemperature(units.Salinity, unit)
}

// sampleField is the same question on the form of one reading.
func sampleField(chosen string) field {
	f := inUnits(field{Name: "sample_temperature", Label: "The sample's temperature", Input: "figure", Optional: true,
		Hint: "For a hydrometer or a probe that does not compensate: the figure is corrected for it."},
		"temperature_unit", units.Temperature.Default(), units.Temperature.Units())
	if chosen != "" {
		f.Unit.choose(chosen)
	}
	return f
}

// sampleC is the temperature of a reading's sample in °C, when it was told.
func sampleC(r *book.Reading) (float64, bool) {
	v, err := strconv.ParseFloat(string(r.SampleTemperature), 64)
	if err != nil {
		return 0, false
	}
	c, err := units.Convert(units.Temperature, v, r.TemperatureUnit, "°C")
	return c, err == nil
}
