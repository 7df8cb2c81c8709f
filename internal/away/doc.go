// Package away answers what must be prepared before an absence, what whoever minds the
// tanks is to do at each visit and in need, and what will have moved meanwhile.
//
// Model: machines run on, hand work stops but for what a visit does; the water is
// followed by package whatif.
//
// Sources: what to do in need is common practice, no source, and says so.
//
// An absence that is written down may have a link for whoever minds the tanks; of the
// link only a hash is known here. On return it tells what was done by them and what
// moved.
//
// Limits: it takes machines not to fail. Whoever has the link can tick errands off and
// send readings and pictures; that is held to by the pages.
package away
