// Package survivalsheet reads a table of lifetimes without a book: how long each
// animal was followed, whether it died then or was still alive, and of which group
// it was.
//
// A line that cannot be read refuses the table: a life left out makes survival look
// better or worse than it was.
package survivalsheet
