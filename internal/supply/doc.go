// Package supply answers what is on the shelf and when it runs out.
//
// Model: the newest count of a substance, plus what was added since, less every
// dose, water change and routine since; what accepted plans and routines will
// use is followed day by day until nothing is left.
//
// Limits: what nobody counted is unknown, never zero; the salt of a water change
// is counted by the mix's salt at the usual grams a litre.
package supply
