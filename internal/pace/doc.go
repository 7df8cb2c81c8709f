// Package pace answers how much the doses of a day raise a level, and whether that
// is more than it may be.
//
// Model: what doses due within 24 hours add to the net volume, quantity by
// quantity, by the composition of their substances, against the largest rise of a
// day that the trade holds safe (package substance). What is lost meanwhile is not
// counted: a demand is made up for by routines, and no plan gives more at once than
// an animal bears. A keeper's own slower pace is package correction's to keep. What
// an acid takes away is left out.
//
// Sources: those of package substance.
//
// Limits: substances whose content nobody has said, and quantities without a
// known largest rise, have no ceiling here; the label's holds.
package pace
