// Package growth answers how fast something grew, from areas outlined in photographs or
// from counts, at dates as they come.
//
// Model: the specific growth rate is the slope of the logarithm of the area over time,
// by least squares with Student's limits; the scatter around the line holds the error of
// outline and alignment, the unevenness of growth and the months' light, and is never
// taken for less than repeated outlines of one photograph scatter. Curves (none,
// linear, exponential, levelling off) are fitted to logarithms of areas and chosen by
// Akaike's criterion corrected for few figures. Counts grow by a Poisson law.
//
// Sources: Draper & Smith (1998), Applied Regression Analysis; Hurvich & Tsai (1989),
// Biometrika 76:297 (the correction); McCullagh & Nelder (1989), Generalized Linear
// Models (Poisson).
//
// Limits: areas are of what is seen in the picture plane. With two dates there is a rate
// and an interval only where outlines were repeated; the first months of a colony say
// little about its curve.
package growth
