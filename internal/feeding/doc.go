// Package feeding answers how much nitrogen and phosphorus the food of a tank brings
// in, what takes them out again, and what of it is not accounted for.
//
// Model: mass balances over a span. Food, by its composition, and doses come in; fish
// keep a share; water changes, harvests and what is not explained take out, the rest
// is in the water as nitrate and phosphate, as the engine has them. Every share has a
// doubt, carried as standard deviations; a range of a table is taken to hold nine
// cases in ten.
//
// Sources: beside each figure of the tables. Figures from memory and judgements are
// marked so.
//
// Limits: denitrification, rock, skimmer and siphon are told together, as what is not
// explained; food whose composition nobody has said is named and left out.
package feeding
