// Package units answers what a keeper's figure means: which quantity, in which
// unit, and how much that is in another unit.
//
// Model: each quantity has one base unit, and every unit a line or a curve to
// it. A doubt of one standard deviation is carried by the slope at the level.
//
// Sources: exact definitions (NIST SP 811, 2008, Appendix B; imperial gallon
// 4.54609 L); IUPAC standard atomic weights 2021, abridged (Prohaska et al.
// 2022, Pure Appl. Chem. 94:573); salinity and oxygen by package seawater.
//
// Taken for granted, and told by Assumption: "ppm" means mg/L; ppt and PSU are
// one scale; mS/cm is as at 25 °C; µmol/kg and % oxygen are at salinity 35 and
// 25 °C; pH NBS is 0.134 above total. Not here: ions per kg, ammonia's fraction.
package units
