// Package statespace estimates a hidden, slowly moving state from noisy and
// irregular readings: linear Gaussian filtering and smoothing in continuous
// time.
//
// A belief is a mean and a covariance over n states, of which the first k move
// and the rest are unknown constants (an instrument's bias, say). [Filter.Move]
// carries it through time or through a known event, [Filter.Observe] folds in a
// reading, and a [Tape] recorded on the way forward gives the smoothed states
// by the adjoint recursion of Bierman (1973), "Fixed interval smoothing with
// discrete measurements", which inverts nothing and so accepts states that are
// known exactly.
//
// [Flow] is the exact transition of a level that is used up at a wandering rate
// and relaxes towards a reference.
//
// Not here: non-linear models, diffuse starts (give a wide prior), parameter
// search.
package statespace
