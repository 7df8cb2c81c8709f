// Package trial answers what a keeper's trial can show before it starts, what it
// asks for while it runs, and what it showed when it is over.
//
// A trial is a line of the log: a change, when it is on, other tanks left as they
// are, what is watched, what difference would matter, when it must stop. This
// package gathers its figures from the log (readings with each kit's bias and
// known one-off doses and water changes taken off, scores, days between chores,
// counts a week, peaks of a day), finds what else changed in that time, and asks
// package effect.
//
// A plan's power is counted on simulated trials with the noise that the tank's own
// history shows; where there is too little of it, that of the method is taken and
// said so.
//
// Not here: the statistics (effect, stats) and how it looks (web, cli).
package trial
