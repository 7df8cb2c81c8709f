package seawater

import "fmt"

// Ion names a major constituent of sea salt, or a sum of constituents that
// stays the same whatever the pH.
type Ion string

// The constituents of the reference composition. Bicarbonate, CarbonateIon,
// Hydroxide, the two forms of boron and CarbonDioxide are those of Standard
// Seawater near pH 8.1 on the total scale; only their sums are conserved.
const (
	Sodium        Ion = "Na"
	Magnesium     Ion = "Mg"
	Calcium       Ion = "Ca"
	Potassium     Ion = "K"
	Strontium     Ion = "Sr"
	Chloride      Ion = "Cl"
	Sulfate       Ion = "SO4"
	Bicarbonate   Ion = "HCO3"
	Bromide       Ion = "Br"
	CarbonateIon  Ion = "CO3"
	Borate        Ion = "B(OH)4"
	Fluoride      Ion = "F"
	Hydroxide     Ion = "OH"
	BoricAcid     Ion = "B(OH)3"
	CarbonDioxide Ion = "CO2"
	Boron         Ion = "B_total"
	Sulfur        Ion = "S_total"
)

// constituent is an ion with its amount at practical salinity 35, and its molar mass.
type constituent struct {
	ion       Ion
	molPerKg  float64
	gramsPerM float64 // g/mol
}

// Standard atomic weights, abridged: Prohaska et al. 2022, Pure Appl. Chem. 94:573.
const (
	massH, massB, massC, massO, massF     = 1.008, 10.81, 12.011, 15.999, 18.998
	massNa, massMg, massS, massCl, massK  = 22.99, 24.305, 32.06, 35.45, 39.098
	massCa, massSr, massBr                = 40.078, 87.62, 79.904
	borateAmount, boricAmount, sulfAmount = 0.0001008, 0.0003143, 0.0282352
)

// reference is Millero, Feistel, Wright and McDougall 2008, Deep-Sea Res. I
// 55:50, Table 4, in mol per kg of seawater at practical salinity 35. The amounts
// of Br, F, OH, B(OH)3 and CO2 are from memory; they agree with the mass
// fractions of the same table.
var reference = []constituent{
	{Sodium, 0.4689674, massNa},
	{Magnesium, 0.0528171, massMg},
	{Calcium, 0.0102821, massCa},
	{Potassium, 0.0102077, massK},
	{Strontium, 0.0000907, massSr},
	{Chloride, 0.5458696, massCl},
	{Sulfate, sulfAmount, massS + 4*massO},
	{Bicarbonate, 0.0017177, massH + massC + 3*massO},
	{Bromide, 0.0008421, massBr},
	{CarbonateIon, 0.0002389, massC + 3*massO},
	{Borate, borateAmount, massB + 4*(massO+massH)},
	{Fluoride, 0.0000683, massF},
	{Hydroxide, 0.0000080, massO + massH},
	{BoricAcid, boricAmount, massB + 3*(massO+massH)},
	{CarbonDioxide, 0.0000096, massC + 2*massO},
	{Boron, borateAmount + boricAmount, massB},
	{Sulfur, sulfAmount, massS},
}

// Ions lists what the reference composition knows, in the order of its table.
func Ions() []Ion {
	out := make([]Ion, len(reference))
	for i, c := range reference {
		out[i] = c.ion
	}
	return out
}

// IonMolPerKg is the amount of an ion, in mol per kg of seawater, that the
// reference composition has at a practical salinity of 0 to 60: Millero et al.
// 2008, Deep-Sea Res. I 55:50, Table 4. It is proportional to salinity, which holds
// for sea water that was diluted or concentrated; salt mixes differ. The printed
// amounts stand to 1e-7 mol/kg at salinity 35.
func IonMolPerKg(ion Ion, sp float64) (float64, error) {
	c, err := found(ion, sp)
	if err != nil {
		return 0, err
	}
	return c.molPerKg * sp / 35, nil
}

// IonMgPerKg is the same in mg per kg of seawater, with the standard atomic weights
// of Prohaska et al. 2022.
func IonMgPerKg(ion Ion, sp float64) (float64, error) {
	c, err := found(ion, sp)
	if err != nil {
		return 0, err
	}
	return c.molPerKg * c.gramsPerM * 1000 * sp / 35, nil
}

// IonMgPerL is the same in mg per litre of seawater at -2 to 50 °C, as test kits
// measure it, at the density of the water.
func IonMgPerL(ion Ion, sp, tempC float64) (float64, error) {
	perKg, err := IonMgPerKg(ion, sp)
	if err != nil {
		return 0, err
	}
	return PerLitre(perKg, sp, tempC)
}

// IonRatio is a measured ion (0 to 1e6 mg/L) over what the reference composition has at the
// same salinity and temperature. Near 1 the water is only dilute or strong;
// away from 1 the ion itself is short or in excess. Practical salinity 0.01 to 60.
func IonRatio(ion Ion, mgPerL, sp, tempC float64) (float64, error) {
	if err := within(string(ion), mgPerL, 0, 1e6, " mg/L"); err != nil {
		return 0, err
	}
	expected, err := IonMgPerL(ion, sp, tempC)
	if err != nil {
		return 0, err
	}
	if sp < 0.01 {
		return 0, fmt.Errorf("practical salinity %g is too low to compare %s with, expected at least 0.01", sp, ion)
	}
	return mgPerL / expected, nil
}

func found(ion Ion, sp float64) (constituent, error) {
	if err := within("practical salinity", sp, MinSP, MaxSP, ""); err != nil {
		return constituent{}, err
	}
	for _, c := range reference {
		if c.ion == ion {
			return c, nil
		}
	}
	return constituent{}, fmt.Errorf("ion %q is not in the reference composition, expected one of %v", ion, Ions())
}
