// Package quickline reads one line typed at the tank, such as
// "harbour alkalinity 7.8 dKH kit drop kit", into a line of the log.
//
// Question: what did the keeper mean by these words?
//
// Model: the words are TANK, then a verb with what it needs, or a quantity with
// its value. Whatever can be told from the book (the unit used last time, the
// only kit there is, the start of a tank's name) may be left out; nothing is
// guessed where two readings are possible.
//
// Limits: one line, one fact, in the order shown by Grammar. The package writes
// nothing and knows no clock; the caller validates the line and stores it.
package quickline
