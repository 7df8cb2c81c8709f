// Package drift says where the level of a quantity is, what the tank takes of
// it, and when it will leave its band, from a few noisy readings and what is
// known to have been added.
//
// Model: a level C is used up at a long-run rate m plus a wandering rate w, and
// relaxes towards a reference at a rate that stands for demand rising with the
// level (for nutrients: removal in proportion to it). Doses and feeds add to
// it, water changes mix it, each reading sees it with its kit's standing bias
// and scatter, and now and then a reading is simply wrong. Given four spreads
// (wander, relaxation, scatter, level noise) all that is linear and Gaussian
// and solved exactly by package statespace; the spreads are found from the log
// under priors, and every answer is averaged over what they may be.
//
// Sources: Durbin & Koopman (2012), Time Series Analysis by State Space Methods;
// Rue, Martino & Chopin (2009), J. R. Statist. Soc. B 71:319, section 6.5, for
// the design of points; Minka (2001), Expectation propagation, for readings that
// are misreads or below a kit's limit.
//
// Limits: one quantity at a time; a demand that jumps is followed with a delay;
// the chance of an excursion is by simulation, good to about 0.02.
package drift
