// Package standing answers how each quantity of a tank stands: where it is,
// what takes it away, when it leaves its band, when to test it next, and where
// a change came from.
//
// It reads the facts of the book, turns them into a case for the engine in
// package drift (every figure in the default unit of the quantity), runs it,
// and tells the result in the unit the keeper uses. Temperature, pH, redox and
// oxygen have no ledger: they get a level, the swing of a day and a trend.
//
// # The word for how a quantity stands
//
// In this order, the first that fits:
//
//	unknown       fewer than 2 readings, or the level's standard deviation is
//	              wider than the band
//	outside       the chance of being outside now is 0.5 or more
//	near the edge the chance of being outside now is 0.2 or more, or that of
//	              leaving within 14 days is 0.3 or more
//	drifting      the trend under the routines is at least twice its doubt, and
//	              it reaches an edge within 60 days or crosses half the band
//	              in 30
//	steady        otherwise
//
// # Limits
//
// Bands, errors of methods and intervals between tests are the trade's common
// practice, not measurements (bands.go, methods.go, intervals.go); whatever
// the keeper declares goes before them. Doses are taken not to move salinity;
// a substance whose content is not known is kept as a deed without a figure.
// Feeding is not counted here: what it gives shows as negative demand.
package standing
