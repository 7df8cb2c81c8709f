// Package sqlite keeps a book in a folder: book.db, an SQLite database in
// write-ahead mode, and photos/, pictures named by the hash of their content.
//
// A line that Append has acknowledged is on the disk (synchronous=FULL); a
// process killed at any moment leaves all acknowledged lines and no half one.
// Several processes may use one book at a time: writing takes turns under
// SQLite's own locks, and readers see what others appended by asking Since.
// One connection writes, several read.
//
// The schema is a list of numbered files in migrations/, each applied once, in
// order and in one transaction, never backwards. A book made by a newer version
// is refused. Errors are sentences for a person; the driver's own words are
// kept out of them. A network drive without proper file locks is not supported.
package sqlite
