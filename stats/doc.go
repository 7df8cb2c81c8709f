// Package stats answers whether two stretches of figures differ, when the
// figures are few, taken at odd times and resemble their neighbours.
//
// Model: generalised least squares whose errors are independent, or correlated
// from row to row (AR(1)) or in continuous time (CAR(1)), fitted by restricted or
// plain maximum likelihood; and, for a verdict, the same averaged over the
// correlation, which short series do not tell. Exact tests count every
// arrangement that chance could have made.
//
// Sources: Pinheiro & Bates (2000), Mixed-Effects Models in S and S-PLUS, chapter
// 5; Box & Tiao (1973), Bayesian Inference in Statistical Analysis, for the
// average over a nuisance; Fisher (1935), The Design of Experiments, for exact
// tests. Every figure is checked against R and against dense algebra.
//
// Not here: what was changed, and whether it was worth it.
package stats
