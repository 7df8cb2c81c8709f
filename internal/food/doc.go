// Package food answers what a food holds and what was fed: composition, grams of a
// portion, nitrogen and phosphorus day by day.
//
// Model: usual kinds of food by their composition, a keeper's own by its label; a
// share has a range that holds nine cases in ten.
//
// Sources: beside each figure of the table. Figures from memory and judgements are
// marked so.
//
// Limits: food whose composition nobody has said is named and not counted; what a
// food holds is taken to be the same in every bag.
package food
