// Package feeding answers how much nitrogen and phosphorus the food of a tank brings
// in, what takes them out again and what of it is not accounted for; where nitrate
// and phosphate settle, what feed or harvest would hold them where they should be;
// how the waste of meals comes over the day; and whether the fish get enough.
//
// Model: mass balances over a span. Food, by its composition, and doses come in; fish
// keep a share; water changes, harvests, siphon and skimmer take out, the rest is in
// the water as nitrate and phosphate, as the engine has them. Every share has a doubt,
// carried as standard deviations; a range of a table is taken to hold nine cases in
// ten. Where levels settle comes from the engine's own removal and yield.
//
// Sources: beside each figure. Figures from memory and judgements are marked so.
//
// Limits: denitrification and rock are told together with all errors, as what is not
// explained; food whose composition nobody has said is named and left out.
package feeding
