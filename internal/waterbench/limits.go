package waterbench

// Limits and usual figures that sentences compare with.
const (
	// openAirPPM is carbon dioxide in open air, dry: the level that trade tables
	// of pH and CO2 start from. The world's mean passed it in 2023 (from memory);
	// 10 ppm more lower the pH in balance by 0.008. openAirSD allows for that and
	// for towns, where it is higher.
	openAirPPM = 420.0
	openAirSD  = 15.0

	// usualDKH is the alkalinity the trade's table of pH and CO2 is made for, and
	// close to that of natural sea water (common practice).
	usualDKH = 8.0

	// The four-day and the one-hour mean of un-ionised ammonia that salt-water
	// life should not exceed, mg/L NH3: US EPA 1989, Ambient Water Quality Criteria
	// for Ammonia (Saltwater), EPA 440/5-88-004; the figures are from memory.
	ammoniaFourDays = 0.035
	ammoniaOneHour  = 0.233
	// ammoniaFormula is the doubt of the un-ionised share, as Clegg and Whitfield
	// 1995 claim it.
	ammoniaFormula = 0.05

	// oxygenLow is where a tank is short of it, mg/L (common practice, no source).
	oxygenLow = 5.5

	// redfield is the N:P by which plankton takes up nutrients: Redfield 1958,
	// Am. Sci. 46:205.
	redfield = 16.0

	// tropicalAragonite is about the saturation of the tropical sea's surface
	// (from memory).
	tropicalAragonite = 4.0
)

// Molar masses for un-ionised ammonia, g/mol; Prohaska et al. 2022.
const (
	massNH3 = 17.031
	massN   = 14.007
	massP   = 30.974
)
