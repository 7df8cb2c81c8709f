package rehearsal

// system is what is usual for a kind of tank: the demand for alkalinity and
// the bands keepers aim for. Common practice throughout, no source.
type system struct {
	name      string
	demand    float64 // dKH a day, median
	demandLog float64 // spread of its logarithm
	nitrate   float64 // usual level, mg/L NO3
	phosphate float64
	magLo     float64 // magnesium taken with calcification, mg/L per dKH
	magHi     float64
	bands     map[ion][3]float64 // low, aim, high
}

var systems = []system{
	{"soft coral", 0.10, 0.6, 9, 0.09, 0.1, 0.6, map[ion][3]float64{
		alk: {7, 8.5, 10}, cal: {380, 415, 450}, mag: {1250, 1320, 1420}, nit: {2, 8, 20}, pho: {0.03, 0.08, 0.15}, sal: {33.5, 35, 36}}},
	{"mixed", 0.60, 0.4, 6, 0.07, 0.03, 0.4, map[ion][3]float64{
		alk: {7.5, 8.3, 9}, cal: {400, 425, 450}, mag: {1250, 1320, 1400}, nit: {2, 5, 10}, pho: {0.03, 0.06, 0.10}, sal: {34, 35, 36}}},
	{"large-polyp stony", 0.40, 0.4, 8, 0.08, 0.02, 0.3, map[ion][3]float64{
		alk: {7.5, 8.5, 9.5}, cal: {400, 425, 450}, mag: {1250, 1320, 1400}, nit: {3, 7, 15}, pho: {0.03, 0.07, 0.12}, sal: {34, 35, 36}}},
	{"small-polyp stony", 1.80, 0.4, 4, 0.05, 0.02, 0.2, map[ion][3]float64{
		alk: {7, 8, 9}, cal: {410, 430, 450}, mag: {1280, 1340, 1400}, nit: {1, 3, 8}, pho: {0.02, 0.04, 0.08}, sal: {34.5, 35, 35.5}}},
	{"fish only", 0.05, 0.5, 22, 0.25, 0.05, 0.3, map[ion][3]float64{
		alk: {7, 8, 10}, cal: {380, 415, 460}, mag: {1200, 1320, 1450}, nit: {2, 15, 40}, pho: {0.03, 0.15, 0.5}, sal: {33, 35, 36.5}}},
}
