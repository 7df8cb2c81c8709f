// Package whatif answers what a tank's water will be if the keeper goes on like
// this, changes something, or goes away.
//
// Model: every quantity at once as a mass balance: demand with its wander, doses,
// routines, water changes, evaporation and top-off, and salinity that all of it
// moves. Each draw takes one tank the engine holds possible (level, demand and
// spreads) and follows it step by step, exactly between events since the balance
// is linear there; what the draws do is the fan. Chance does the same to every
// plan, so that plans are compared draw by draw.
//
// Sources: the engine in package drift; the exact step is checked against
// compartments solved by a matrix exponential. Stiff and nonlinear problems
// (Robertson, HIRES) are not checked: nothing here is nonlinear, and no
// general integrator is used.
//
// Limits: quantities are drawn apart from each other; nobody's demand is known to
// change with what is changed elsewhere, and while water is missing it goes by the
// amount left, not by its strength; the salt of declared routines is taken to be
// part of salinity's own trend, that of anything else is added; a plan's machines
// never fail. Temperature, pH, redox and oxygen keep no balance and are left out.
// Chances of leaving a band are those of package drift, so that a fan of a nutrient,
// which is skewed, may reach a little further than its chance says.
package whatif
