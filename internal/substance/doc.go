// Package substance answers what a gram or a millilitre of something does to
// the water: what it raises, what it brings along, and what to beware of.
//
// Model: a substance is what the keeper declared (a formula with its purity, a
// solution made up of so much in so much, or what its label says), else a
// built-in salt or blend of the trade, else a formula typed as its name. Its
// formula is counted out by package stoichiometry; salinity and pH follow from
// package seawater.
//
// Sources: those of stoichiometry and seawater; largest rises a day are common
// practice without a source and cautions common practice or from memory, marked
// in rates.go and cautions.go.
//
// Not here: how much to give (correction, makeup, course), what is left (supply).
package substance
