// Package stoichiometry answers what a gram of a chemical gives to the water.
//
// Model: a formula is counted atom by atom with IUPAC standard atomic weights.
// Ions follow from the mass fraction of their element; alkalinity follows from
// the balance of the ions that take no part in acid-base reactions, which gives
// bicarbonate 1, carbonate 2, hydroxide 1, borax 2 equivalents a mole.
//
// Sources: Prohaska et al. 2022, Pure Appl. Chem. 94:573 (weights 2021,
// abridged); Dickson 1981, Deep-Sea Res. 28A:609 (what alkalinity counts);
// Wolf-Gladrow et al. 2007, Mar. Chem. 106:287 (the ion balance).
//
// Not here: whether a salt dissolves or falls out, trade solutions whose makeup
// a label gives, isotopes, charges written in a formula.
package stoichiometry
