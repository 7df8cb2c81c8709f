// Package waterbench answers what the figures measured of one water say
// together: how much carbon dioxide is in it, whether lime can form, whether the
// ammonia is a danger, whether an ion is low or the water only dilute.
//
// Model: what was typed, in any unit, is turned to the standard scales of
// package seawater with the doubt each method deserves; everything that follows
// is computed there, with the doubt carried by the slopes, and told in one plain
// sentence. A tank's past is the same computation for each moment the log has
// what it needs.
//
// Sources: those of package seawater; limits for ammonia and the usual bands are
// named beside their figures (limits.go). A pH without a scale is an electrode's,
// in NBS buffers.
//
// Not here: what to dose, how a quantity drifts, readings without a unit.
package waterbench
