// Package supply answers what is in stock, what uses it, and when it runs out.
//
// Model: what is left is the last count, plus what came on top, minus all that
// the log says was taken since: doses, what is dissolved in top-offs, food, the
// salt of water changes, what machines give, what was made up into solutions.
// What will be taken is what is declared: routines and machines, the doses to
// come of accepted corrections and courses. How far hand work is done as
// declared, and what is dosed beside it, is learned from the last 60 days of the
// log. The day it runs out is where the expected use meets what is left; early
// and late are where nine chances in ten end, the doubts taken as normal.
//
// Sources: 37 g of sea salt in a litre at a salinity of 35 and the doubts of
// weighing and of machines are common practice; the spread of hand work beyond
// the log is judgement.
//
// Limits: mass and volume are never turned into one another, for no density is
// known; evaporation, spills and what was dosed unlogged show at the next count
// only; use does not follow the seasons; currencies are never added.
package supply
