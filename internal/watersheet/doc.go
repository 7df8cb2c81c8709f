// Package watersheet answers, line by line, what a table of measured waters says:
// salinity, density, specific gravity, the carbonate system, ammonia and oxygen.
//
// Model: the header says which figures come in and so which can be worked out; a
// line is echoed and its figures follow under the same names, with _out where the
// name is taken. Salinity is the column SP, else from conductivity, else from
// specific gravity. Of the carbonate measures the column given names the pair;
// without it the first two there are, in the order alkalinity, pH, dissolved
// carbon, pressure of CO2.
//
// Sources: those of package seawater.
//
// Limits: one line is held at a time, so a table may be of any length. What a line
// lacks stays empty; what no water can have is told in the column error.
package watersheet
