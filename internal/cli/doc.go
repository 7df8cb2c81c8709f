// Package cli is the command line: what a person types and what is printed.
//
// Question: which command was meant, on which book, and how is its answer put
// into a table, a sentence or JSON.
//
// Model: each command is a struct of flags and a method that takes a job (the
// context, the streams, the clock) and returns an error. Results go to standard
// output, everything else to standard error. An error carries an exit code and,
// where there is one, a hint; Explain prints both.
//
// Limits: nothing is computed here. Words, numbers and dates are formatted, the
// rest is asked of the rooms below.
package cli
