package units

// scale is one unit of a quantity. A unit on a line has base = (v - zero)·factor;
// a unit on a curve has its functions instead.
type scale struct {
	name     string
	factor   float64
	zero     float64
	curve    *curve
	decimals int
	aliases  []string
	assumes  string // what a conversion to or from the base unit takes for granted
}

// curve is a unit that is not a straight line to the base unit.
type curve struct {
	toBase   func(v float64) (float64, error)
	fromBase func(v float64) (float64, error)
	// What the instrument shows in a sample that is not at the temperature it
	// is marked for, in °C, and back; nil where the temperature does not matter.
	readAt        func(v, tempC float64) (float64, error)
	showsAt       func(base, tempC float64) (float64, error)
	assumesAtTemp string
}

// kind is all that is known of one quantity's units. Low and high, in the base
// unit, are the limits of what can be true of an aquarium; they are generous.
type kind struct {
	scales    []scale
	low, high float64
	byAlias   map[string]int
}

// find gives the index of a unit by exact or forgiving spelling, or -1.
func (k *kind) find(s string) int {
	for i := range k.scales {
		if k.scales[i].name == s {
			return i
		}
	}
	if i, ok := k.byAlias[fold(s)]; ok {
		return i
	}
	return -1
}

func newKind(low, high float64, scales ...scale) *kind {
	k := &kind{scales: scales, low: low, high: high, byAlias: make(map[string]int)}
	for i, s := range scales {
		k.byAlias[fold(s.name)] = i
		for _, a := range s.aliases {
			k.byAlias[fold(a)] = i
		}
	}
	return k
}

// Atomic weights, abridged: IUPAC 2021, Prohaska et al. 2022, Pure Appl. Chem. 94:573.
const (
	massH  = 1.008
	massC  = 12.011
	massN  = 14.007
	massO  = 15.999
	massSi = 28.085
	massP  = 30.974
	massCa = 40.078

	massNO3   = massN + 3*massO
	massNO2   = massN + 2*massO
	massNH3   = massN + 3*massH
	massNH4   = massN + 4*massH
	massPO4   = massP + 4*massO
	massSiO2  = massSi + 2*massO
	massCaO   = massCa + massO
	massCaCO3 = massCa + massC + 3*massO

	// MeqPerDKH: one German degree is 10 mg CaO per litre (definition), two equivalents a mol.
	meqPerDKH = 10 / (massCaO / 2)
	// mgCaCO3PerMeq is the equivalent weight of calcium carbonate.
	mgCaCO3PerMeq = massCaCO3 / 2
	// kgPerLitre is the density of seawater at salinity 35 and 25 °C, as in package seawater.
	kgPerLitre = 1.0233436
	// nbsOverTotal is pH on the NBS scale less pH on the total scale at salinity
	// 35 and 25 °C, from the activity coefficient of Takahashi et al. 1982
	// (GEOSECS Pacific Expedition vol. 3). Electrodes differ by a few hundredths.
	nbsOverTotal = 0.134
)

// table is every quantity's units; the first of each is both base and default.
var table = map[Quantity]*kind{
	Temperature: newKind(-2, 50,
		scale{name: "°C", factor: 1, decimals: 1, aliases: []string{"C", "degC", "deg C", "degrees C", "Celsius", "degrees Celsius", "centigrade"}},
		scale{name: "°F", factor: 1 / 1.8, zero: 32, decimals: 1, aliases: []string{"F", "degF", "deg F", "degrees F", "Fahrenheit", "degrees Fahrenheit"}}),
	Salinity: salinityKind,
	PH: newKind(4, 12,
		scale{name: "NBS", factor: 1, decimals: 2, aliases: []string{"pH", "NBS scale", "pH NBS", "pH (NBS)", "NIST", "pH units"}, assumes: phAssumption},
		scale{name: "total", factor: 1, zero: -nbsOverTotal, decimals: 2, aliases: []string{"total scale", "pH total", "pHT", "pH (total)"}, assumes: phAssumption}),
	Alkalinity: newKind(0, 40,
		scale{name: "dKH", factor: 1, decimals: 1, aliases: []string{"KH", "°KH", "deg KH", "degrees KH", "°dH", "dH", "German degrees", "deg dKH", "degrees dKH"}},
		scale{name: "meq/L", factor: 1 / meqPerDKH, decimals: 2, aliases: []string{"meq per L", "meq/litre", "meq/liter", "mEq L-1", "mval/L", "milliequivalents per litre", "mmol/L"}},
		scale{name: "mg/L CaCO3", factor: 1 / (meqPerDKH * mgCaCO3PerMeq), aliases: append(spellings(milliPerLitre, "caco3", "calciumcarbonate"), milliPerLitre...)},
		scale{name: "µmol/kg", factor: kgPerLitre / (1000 * meqPerDKH), aliases: []string{"umol/kg", "µmol kg-1", "µmol/kg-sw", "umol/kg SW", "micromol/kg", "µeq/kg", "micromoles per kg"}, assumes: "taken at salinity 35 and 25 °C (1.0233 kg/L)"}),
	Calcium:   ion(2000, 0, "ca", "calcium"),
	Magnesium: ion(5000, 0, "mg", "magnesium"),
	Potassium: ion(2000, 0, "k", "potassium"),
	Strontium: ion(200, 1, "sr", "strontium"),
	Nitrate: newKind(0, 1000,
		species("mg/L NO3", 1, 1, true, milliPerLitre, "no3", "nitrate"),
		species("mg/L N", massNO3/massN, 2, false, milliPerLitre, "n", "no3n", "nitraten", "nitrogen", "nitratenitrogen"),
		species("µg/L NO3", 1e-3, 0, true, microPerLitre, "no3", "nitrate"),
		species("µg/L N", 1e-3*massNO3/massN, 0, false, microPerLitre, "n", "no3n", "nitraten", "nitrogen", "nitratenitrogen")),
	Nitrite: newKind(0, 500,
		species("mg/L NO2", 1, 2, true, milliPerLitre, "no2", "nitrite"),
		species("mg/L N", massNO2/massN, 3, false, milliPerLitre, "n", "no2n", "nitriten", "nitrogen", "nitritenitrogen"),
		species("µg/L NO2", 1e-3, 0, true, microPerLitre, "no2", "nitrite"),
		species("µg/L N", 1e-3*massNO2/massN, 0, false, microPerLitre, "n", "no2n", "nitriten", "nitrogen")),
	TotalAmmonia: newKind(0, 200,
		species("mg/L NH4", 1, 2, true, milliPerLitre, "nh4", "ammonium"),
		species("mg/L NH3", massNH4/massNH3, 2, false, milliPerLitre, "nh3", "ammonia"),
		species("mg/L N", massNH4/massN, 2, false, milliPerLitre, "n", "nh3n", "nh4n", "tan", "nitrogen", "ammonianitrogen", "ammoniumnitrogen"),
		species("µg/L NH4", 1e-3, 0, true, microPerLitre, "nh4", "ammonium"),
		species("µg/L NH3", 1e-3*massNH4/massNH3, 0, false, microPerLitre, "nh3", "ammonia"),
		species("µg/L N", 1e-3*massNH4/massN, 0, false, microPerLitre, "n", "nh3n", "nh4n", "tan", "nitrogen", "ammonianitrogen", "ammoniumnitrogen")),
	Phosphate: newKind(0, 50,
		species("mg/L PO4", 1, 2, true, milliPerLitre, "po4", "phosphate"),
		species("mg/L P", massPO4/massP, 3, false, milliPerLitre, "p", "po4p", "phosphorus", "phosphatep"),
		species("µg/L PO4", 1e-3, 0, true, microPerLitre, "po4", "phosphate"),
		species("µg/L P", 1e-3*massPO4/massP, 0, false, microPerLitre, "p", "po4p", "phosphorus")),
	Silicate: newKind(0, 500,
		species("mg/L SiO2", 1, 2, true, milliPerLitre, "sio2", "silica", "silicate"),
		species("mg/L Si", massSiO2/massSi, 2, false, milliPerLitre, "si", "silicon", "sio2si"),
		species("µg/L SiO2", 1e-3, 0, true, microPerLitre, "sio2", "silica", "silicate"),
		species("µg/L Si", 1e-3*massSiO2/massSi, 0, false, microPerLitre, "si", "silicon")),
	Iodine: ion(10, 3, "i", "iodine", "iodide"),
	Boron:  ion(100, 1, "b", "boron"),
	Redox:  newKind(-1000, 1000, scale{name: "mV", factor: 1, aliases: []string{"millivolt", "millivolts"}}),
	Oxygen: newKind(0, 40,
		scale{name: "mg/L", factor: 1, decimals: 1, aliases: append(spellings(milliPerLitre, "o2", "oxygen"), milliPerLitre...)},
		scale{name: "%", factor: oxygenFull / 100, aliases: []string{"% saturation", "percent", "per cent", "% sat", "saturation", "pct", "percent saturation"}, assumes: "full saturation taken at salinity 35, 25 °C and one atmosphere (6.77 mg/L)"}),
}

// oxygenFull is the oxygen of seawater in balance with air at salinity 35 and
// 25 °C, mg/L: Garcia and Gordon 1992, as in package seawater.
const oxygenFull = 6.7705681

const phAssumption = "NBS taken as 0.134 above total, as at salinity 35 and 25 °C; electrodes differ by a few hundredths"

// ion is a quantity weighed as itself in mg/L or µg/L.
func ion(high float64, decimals int, names ...string) *kind {
	return newKind(0, high,
		scale{name: "mg/L", factor: 1, decimals: decimals, aliases: append(spellings(milliPerLitre, names...), milliPerLitre...)},
		scale{name: "µg/L", factor: 1e-3, aliases: append(spellings(microPerLitre, names...), microPerLitre...)})
}

// species is a unit that says what is weighed. The plain one also answers to the unit without it.
func species(name string, factor float64, decimals int, plain bool, ways []string, names ...string) scale {
	aliases := spellings(ways, names...)
	if plain {
		aliases = append(aliases, ways...)
	}
	return scale{name: name, factor: factor, decimals: decimals, aliases: aliases}
}
