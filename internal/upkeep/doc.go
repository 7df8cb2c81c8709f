// Package upkeep answers what equipment, media and instruments need next, and which
// habits of care have lapsed.
//
// Model: usual intervals by the kind of thing, which a keeper's own settled rhythm
// replaces; a thing counts from its last chore, else from the day it was declared. A
// habit has lapsed when it was kept five times or more and its usual interval has
// passed two and a half times.
//
// Sources: intervals are common practice, no source, with their ranges.
//
// Limits: chores are told apart by the words of their names; what a device really needs
// stands in its manual.
package upkeep
