// Package animals answers which animals a keeper has, how far each has come on its
// way in and what must hold before it goes on, and how long animals live by the way
// they came.
//
// Model: the register is replayed from lines of the log, one animal, pair, school or
// colony a name. The way in is a row of stages with an earliest end and a rule of
// release; an outbreak, or others that come into the same quarantine, begin its count
// anew. Survival is Kaplan-Meier over single animals, the living censored, routes
// compared by the log-rank test.
//
// Sources: life cycles of parasites beside their figures; intervals of keepers are
// common practice, no source.
//
// Limits: it names no treatment; what a veterinarian or a label ordered is written
// down, no more. Which animal of a school died is not known; they count as alike.
package animals
