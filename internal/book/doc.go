// Package book is the log of a keeper's tanks: what a line may say, whether it
// can be true, and what all lines together say as of a moment.
//
// A Line is one fact as it was told. It is never changed: a correction is a new
// line that names the old one, and a void retracts one (the rules stand above
// inForce). ParseLine and AppendJSON are exact inverses for what matters:
// numbers keep their digits, times their offset, unknown fields their text.
// Validate refuses what cannot be, in one sentence naming the field, the value
// and what is expected. Replay makes Facts of lines, leaving out what is later
// than as-of. ImportJSONL and ImportCSV take good lines, refuse bad ones, and
// may be repeated; ExportJSONL gives back all of it, ExportCSV the readings.
//
// A Store keeps lines (package sqlite; Memory for tests), a Journal holds a
// store's lines and facts in memory and follows what other processes append.
//
// The format is described in docs/log-format.md; JSON is RFC 8259, times are
// RFC 3339, ids RFC 9562, tables RFC 4180. Nothing is computed here: no level,
// no unit is converted, and lines of kinds without a body of their own (note,
// animal) are only kept.
package book
