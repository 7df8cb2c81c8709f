// Package chart draws how a quantity stands: as SVG for the page, print and
// the exported report, and as a line of blocks for the command line.
//
// Question: what do the readings, the estimated level, its band, the keeper's
// deeds and the forecast look like together, at a glance and in full?
//
// Model: a Picture is plain numbers and times. Every drawing is a pure function
// of it. Doubt is drawn as chances of the true level: the ribbon is nine chances
// in ten, the fan is 5 to 95, 10 to 90 and 25 to 75 in a hundred; the bar on a
// reading is one standard deviation of its kit.
//
// Sources: axis steps after P. S. Heckbert, "Nice numbers for graph labels",
// Graphics Gems, 1990; thinning keeps the first, last, least and greatest value
// of each pixel column after U. Jugel and others, "M4", PVLDB 7(10), 2014.
//
// Limits: colours and fonts live in the style sheet, not in the drawing. Times
// before year 1 and figures beyond ±1e12 are left out.
//
// # Contract with the page's script
//
// Figure writes
//
//	<figure class="chart" data-src="ADDRESS">INNER</figure>
//
// A GET of ADDRESS?from=T&to=T, T in RFC 3339, answers with INNER alone, as
// text/html, drawn for that span (ParseSpan reads the two values, Inner draws).
// INNER holds div.chart-plot with one SVG for a phone and one for a wide page
// (the style sheet shows one), nav.chart-spans whose links carry the same from
// and to for use without a script, p.chart-reading for the words of a reading,
// and script.chart-data with the figures as JSON (type Data). An SVG carries
// data-plot="x y width height" in its own units and data-axis="low high", the
// values at the lower and upper edge of the plot; its left and right edges are
// the from and to of the data.
package chart
