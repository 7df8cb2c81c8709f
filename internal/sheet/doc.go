// Package sheet reads a small table as a person or a spreadsheet writes it: a
// header, then a row a line; comma, semicolon or tab; a decimal comma where the
// separator is not one; a byte order mark and empty lines are passed over.
//
// Limits: columns that are not known are refused rather than ignored, for a column
// that was meant and misspelt would be missed in silence.
package sheet
