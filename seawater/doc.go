// Package seawater answers what seawater is like at a given salinity and
// temperature: its conductivity, density, specific gravity, the oxygen it can
// hold and the carbonate system in it. It works at the pressure of a tank
// unless a pressure is an argument.
//
// Model: the Practical Salinity Scale 1978; density by the Gibbs function of
// TEOS-10 at one atmosphere, the older EOS-80 beside it; oxygen by Garcia and
// Gordon 1992; carbonates by the equilibria of Dickson, Sabine and Christian
// 2007 from any two of alkalinity, dissolved carbon, pH and pressure of CO2,
// with the constants chosen by a Basis and worked out once in a Water.
//
// Names carry their units: SP is practical salinity (no unit), TempC degrees
// Celsius on ITS-90, MSPerCm millisiemens per centimetre, DBar decibar above
// the atmosphere; carbonates are in µmol per kg of seawater, pressures of CO2 in
// µatm. Formulas made for IPTS-68 convert with t68 = 1.00024 t90 (Saunders 1990).
//
// Values outside the range a function states give an error, never NaN. What lies
// beyond a formula's published range is computed only on request, by the functions
// named Extrapolate and by Basis.Extrapolate, and is told. Not here: sulfide and
// organic alkalinity, the deep sea. More in docs/seawater.md.
package seawater
