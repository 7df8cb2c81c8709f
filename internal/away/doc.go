// Package away answers what must be prepared before an absence, what whoever minds the
// tanks is to do at each visit and in need, and what will have moved meanwhile.
//
// Model: machines run on, hand work stops but for what a visit does; the water is
// followed by package whatif.
//
// Sources: what to do in need is common practice, no source, and says so.
//
// Limits: it takes machines not to fail. It gives nobody access to the book.
package away
