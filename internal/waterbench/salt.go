package waterbench

import (
	"fmt"
	"math"

	"driftline/seawater"
	"driftline/units"
)

// saltGroup is salinity in all its units, density and how far the water is from
// that of the sea.
func (w *water) saltGroup() Group {
	g := Group{Title: "Salt and density"}
	if w.has(units.Salinity) {
		w.addSalinity(&g)
	}
	rho, err := carry(func(x []float64) (float64, error) { return seawater.Density(x[0], x[1]) }, w.sp, w.tempC)
	if err == nil && (w.has(units.Salinity) || w.has(units.Temperature)) {
		g.add(rho.finding("density", "Density", "kg/m³",
			fmt.Sprintf("A litre weighs %.4f kg, so mg per kg are mg/L divided by %.4f.", rho.v/1000, rho.v/1000), w.guessed))
	}
	return g
}

func (w *water) addSalinity(g *Group) {
	says := map[string]string{
		"PSU":      w.dilution(),
		"ppt":      "Instruments of the trade marked ppt show the figure of PSU; grams of salt in a kilogram of water are 0.47 % more.",
		"SG 25/25": "What a hydrometer marked 25/25 shows in this water at 25 °C.",
		"SG 20/20": "What a hydrometer marked 20/20 shows in this water at 20 °C.",
		"SG 60/60": "What an older hydrometer marked 60/60 °F shows in this water at 60 °F.",
		"mS/cm":    "What a probe that corrects to 25 °C shows.",
	}
	for _, unit := range units.Salinity.Units() {
		f, err := convert(units.Salinity, w.sp, "PSU", unit)
		if err != nil {
			continue
		}
		key := "salinity"
		if unit != "PSU" {
			key += ", " + unit
		}
		out := f.finding(key, "Salinity", unit, says[unit])
		out.Text = showQ(units.Salinity, f, unit)
		g.add(out)
	}
	if f, err := carry(func(x []float64) (float64, error) { return seawater.SodiumChlorideScaleFromSalinity(x[0]) }, w.sp); err == nil {
		g.add(f.finding("salinity, sodium chloride scale", "Salinity on a brine refractometer", "ppt",
			"What a refractometer made for kitchen salt shows in this sea water: it reads too much."))
	}
	if f, err := carry(func(x []float64) (float64, error) { return seawater.ConductivityFromSalinity(x[0], x[1], 0) }, w.sp, w.tempC); err == nil && w.has(units.Temperature) {
		g.add(f.finding("conductivity as it is", "Conductivity at its own temperature", "mS/cm",
			"What a probe that does not correct for temperature shows."))
	}
}

// dilution says how far the water is from 35 and what would bring it there.
func (w *water) dilution() string {
	off := w.sp.v - 35
	switch {
	case math.Abs(off) <= 2*w.sp.sd:
		return "Not to be told from sea water of 35 with this doubt."
	case off < 0 && w.sp.v < 0.5:
		return "This is fresh water."
	case off < 0:
		return fmt.Sprintf("Weaker than sea water of 35: for that reason alone every ion is %.0f %% lower than there.", -100*off/35)
	}
	return fmt.Sprintf("Stronger than sea water of 35: %.1f L of every 100 L replaced by fresh water would bring it there, and every ion is %.0f %% higher for that reason alone.",
		100*(1-35/w.sp.v), 100*off/35)
}

// alkalinityGroup is alkalinity in all its units.
func (w *water) alkalinityGroup() Group {
	g := Group{Title: "Alkalinity"}
	f, ok := w.got[units.Alkalinity]
	if !ok {
		return g
	}
	for _, unit := range units.Alkalinity.Units() {
		c, err := convert(units.Alkalinity, f, "dKH", unit)
		if err != nil {
			continue
		}
		key, says := "alkalinity, "+unit, ""
		var assumed []string
		switch unit {
		case "dKH":
			key, says = "alkalinity", w.alkalinitySays(c)
		case "µmol/kg":
			c, assumed = w.ta, w.guessed
		}
		out := c.finding(key, "Alkalinity", unit, says, assumed)
		out.Text = showQ(units.Alkalinity, c, unit)
		g.add(out)
	}
	if ta := w.ta; w.has(units.Salinity) && w.sp.v > 5 {
		if n, err := carry(func(x []float64) (float64, error) { return x[0] * 35 / x[1], nil }, ta, w.sp); err == nil {
			g.add(n.finding("alkalinity at 35", "Alkalinity brought to salinity 35", "µmol/kg",
				"Sea water of 35 has about 2,300 µmol/kg; what is apart from that is the salt or what was added, not dilution."))
		}
	}
	return g
}

// alkalinitySays places alkalinity in the range of common practice.
func (w *water) alkalinitySays(f figure) string {
	const low, high = 7.0, 11.0 // dKH, common practice for reef tanks
	below, above := 1-chanceAbove(f, low), chanceAbove(f, high)
	switch {
	case below > 0.5:
		return "Below the 7 to 11 dKH that reef tanks are kept at: little to build skeletons of and little to hold pH, " + chance(below) + "."
	case above > 0.5:
		return "Above the 7 to 11 dKH that reef tanks are kept at, " + chance(above) + "."
	}
	return "Within the 7 to 11 dKH that reef tanks are kept at, " + chance(1-below-above) + "."
}
