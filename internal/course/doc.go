// Package course answers what a treatment or habit by schedule asks for today:
// so much, so often, for so many days, with a ceiling, a stop rule and a look
// before and after.
//
// Model: a course is slots of time from its start; a logged dose takes the slot
// nearest to it; a slot passed without one is missed and never made up for by a
// double dose. What the signs scored before, during and after is compared with
// the exact chance of so large a difference by chance alone.
//
// Sources: doses of hydrogen peroxide and its ceiling are common practice or from
// memory (known.go says which), the evidence for it published.
//
// Not here: treatments of animals' illnesses; those are a veterinarian's.
package course
