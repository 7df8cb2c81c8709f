// Package seawater answers what seawater is like at a given salinity and
// temperature: its conductivity, density, specific gravity, major ions, the
// oxygen it can hold and how much of its ammonia is un-ionised. It works at
// the pressure of a tank unless a pressure is an argument.
//
// Model: the Practical Salinity Scale 1978; density by the Gibbs function of
// TEOS-10 at one atmosphere, the older EOS-80 beside it; ions by the reference
// composition of Millero et al. 2008; oxygen by Garcia and Gordon 1992; ammonia
// by Clegg and Whitfield 1995.
//
// Names carry their units: SP is practical salinity (no unit), TempC degrees
// Celsius on ITS-90, MSPerCm millisiemens per centimetre, DBar decibar above
// the atmosphere. Formulas made for IPTS-68 convert with t68 = 1.00024 t90
// (Saunders 1990).
//
// Values outside what a function answers for give an error, never NaN; Formula
// tells which of the others are continued beyond the published range. Not here:
// the deep sea.
package seawater
