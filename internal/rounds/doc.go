// Package rounds answers what deserves attention today over all tanks, most
// consequential first: what is outside its band or about to leave it, which
// reading to repeat before acting, which tests are due by risk, which hand work
// is due or was missed, what has lapsed, and what runs out on the shelf.
//
// It reads standings and routines; what asks for the same thing is one row with
// all its reasons. Rows are ordered by consequence:
//
//	chance × seriousness of the quantity and side × how far
//
// where the chance is that of being outside now, of leaving within 14 days, or
// of a misread (a third of it); a test due counts its chance of an excursion
// and how late it is; hand work counts how late it is. seriousness.go and
// score.go hold the figures: common practice and judgement, no source.
//
// Limits: rounds say what to look at and what the keeper has planned. They
// never name a dose the keeper has not declared; corrections are worked out
// elsewhere. Where a chemical is named its cautions stand beside it, and its
// label outranks them.
package rounds
