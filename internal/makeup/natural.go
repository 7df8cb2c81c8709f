package makeup

import (
	"driftline/seawater"
	"driftline/units"
)

// Natural is what sea salt in its natural ratio gives a quantity at a salinity,
// in the default unit; ok is false for what it does not fix. Reference
// composition, Millero et al. 2008; its bicarbonate, carbonate and borate make
// the alkalinity.
func Natural(q units.Quantity, sp, tempC float64) (float64, bool) {
	ions := map[units.Quantity]seawater.Ion{units.Calcium: seawater.Calcium, units.Magnesium: seawater.Magnesium,
		units.Potassium: seawater.Potassium, units.Strontium: seawater.Strontium, units.Boron: seawater.Boron}
	if ion, ok := ions[q]; ok {
		v, err := seawater.IonMgPerL(ion, sp, tempC)
		return v, err == nil
	}
	switch q {
	case units.Nitrate, units.Phosphate, units.Nitrite, units.TotalAmmonia:
		return 0, true
	case units.Alkalinity:
		mol := 0.0
		for ion, charge := range map[seawater.Ion]float64{seawater.Bicarbonate: 1, seawater.CarbonateIon: 2, seawater.Borate: 1, seawater.Hydroxide: 1} {
			v, err := seawater.IonMolPerKg(ion, sp)
			if err != nil {
				return 0, false
			}
			mol += charge * v
		}
		perL, err := seawater.PerLitre(mol*1000, sp, tempC) // meq/L
		if err != nil {
			return 0, false
		}
		v, err := units.Convert(q, perL, "meq/L", q.Default())
		return v, err == nil
	}
	return 0, false
}
