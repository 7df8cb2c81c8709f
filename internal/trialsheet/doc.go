// Package trialsheet answers what a table of figures, without a book, asks of
// package effect: one figure a line, when it was taken, and of which tank.
//
// The table is CSV with a header: time and value; group where there is a tank to
// compare with; open for an interval that is not over yet; known for what known
// doses and water changes moved the figure by. Comma, semicolon or tab; a decimal
// comma where the separator is not one. A line that cannot be read refuses the
// table, for a trial with a figure less is another trial.
package trialsheet
