// Package correction answers how to bring a quantity to its aim: what to weigh,
// when, at what pace, what to expect after each step and what to test on the way.
//
// Model: the level and its demand are what package standing makes of the whole
// log, not the last reading. Doses are sized so that the expected level reaches
// the aim with demand, routines and water changes going on, never rising more in
// a day than the keeper's or the trade's largest step, each a round weight. The
// expected level after a step carries the engine's doubt forward. A logged dose
// moves the plan; a reading far from what was expected stops it.
//
// Sources: masses by package substance; largest rises a day are common practice
// without a source.
//
// It refuses what the trade holds unsafe and says why. It offers nothing against
// illnesses of animals: that is for a veterinarian.
package correction
