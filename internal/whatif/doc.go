// Package whatif answers what a tank's water will be if the keeper goes on like
// this, changes something, or goes away.
//
// Model: every quantity at once as a mass balance: demand with its wander, doses,
// routines, water changes, evaporation and top-off, and salinity that all of it
// moves. Each draw takes one tank the engine holds possible (level, demand and
// spreads) and follows it step by step, exactly between events since the balance
// is linear there; what the draws do is the fan.
//
// Sources: the engine in package drift; the exact step is checked against
// compartment solutions of a reference integrator.
//
// Limits: nobody's demand is known to change with what is changed elsewhere; a
// plan's machines never fail.
package whatif
