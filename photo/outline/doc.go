// Package outline finds the edge of something in a photograph from a rough outline or
// from a few strokes, and carries an outline from one photograph to the next.
//
// Model: around the rough outline, made smooth, lies a ribbon that is cut across at many
// places. At each cut the edge may lie at any distance from the rough one. How well a
// distance fits is the log-odds of the colours on either side, under mixtures of normal
// laws learned from well inside and well outside, and how sharply the colour changes
// there; it is weighed against how far from the rough outline people draw, and against
// jumps from cut to cut. The best closed path is found exactly, by dynamic programming.
//
// Sources: Bellman (1957), Dynamic Programming; Amini, Weymouth & Jain (1990), IEEE
// Trans. Pattern Anal. Mach. Intell. 12:855, for active contours solved so; Dempster,
// Laird & Rubin (1977), J. R. Statist. Soc. B 39:1, for the mixtures; Boykov & Jolly
// (2001), ICCV, for strokes by a graph cut.
//
// Limits: an outline is one closed line without holes, no thinner than the ribbon; the
// area is of what is seen in the picture plane, not of a surface. A fish before the
// edge is bridged by what the rough outline says.
package outline
