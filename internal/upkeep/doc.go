// Package upkeep answers what equipment, media and instruments need next, and which
// habits of care have lapsed.
//
// Model: usual intervals by the kind of thing, which a keeper's own settled rhythm
// replaces, moved to when what was found of late says that a seventh of what it gives
// is lost; a thing counts from its last chore, else from the day it was declared. Media
// renewed in parts keep months between the parts. A habit has lapsed when it was kept five times or more and its usual interval has
// passed two and a half times.
//
// Sources: intervals are common practice, no source, with their ranges.
//
// Limits: chores are told apart by the words of their names; what a device really needs
// stands in its manual.
package upkeep
