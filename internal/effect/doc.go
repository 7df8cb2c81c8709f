// Package effect answers from figures alone what a change did: how far the
// figures moved when it came, against another tank left as it was where there is
// one, how sure that is, and a plain verdict.
//
// Model: with a comparison, the difference between the two tanks at one moment,
// before and after; without one, a step on top of the trend there was. Figures
// taken near each other resemble each other (a first-order process in continuous
// time), and how much is not taken for known but averaged over. Scores go by
// their ranks, days between and counts by their ratio. Where the start was drawn
// by lot, the exact test over all starts it could have had.
//
// Sources: Stewart-Oaten, Murdoch & Parker (1986), Ecology 67:929, for the
// difference between sites; Wagner et al. (2002), J. Clin. Pharm. Ther. 27:299,
// for a step with a trend; Edgington & Onghena (2007), Randomization Tests, for
// starts drawn by lot; the laws are those of package stats.
//
// Not here: which lines of the log belong to a trial (package trial).
package effect
