// Package seawater answers what seawater is like at a given salinity and
// temperature: its conductivity, density, specific gravity and the oxygen it
// can hold. It works at the pressure of a tank unless a pressure is an argument.
//
// Model: the Practical Salinity Scale 1978; density by the Gibbs function of
// TEOS-10 at one atmosphere, the older EOS-80 beside it; oxygen by Garcia and
// Gordon 1992.
//
// Names carry their units: SP is practical salinity (no unit), TempC degrees
// Celsius on ITS-90, MSPerCm millisiemens per centimetre, DBar decibar above
// the atmosphere. Formulas made for IPTS-68 convert with t68 = 1.00024 t90
// (Saunders 1990).
//
// Values outside a formula's range give an error, never NaN. Not here: the
// carbonate system, ions other than through salinity, the deep sea.
package seawater
