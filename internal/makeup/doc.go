// Package makeup answers what to weigh into a bin of new salt water, in which
// order, and what water changes with it do to a tank.
//
// Model: the salt's label or tested composition scaled to the salinity wanted,
// the natural ratio where neither is known; supplements are the least masses
// that raise each quantity to its aim, solved together since one may bring along
// another. A water change mixes by volume; a series of them is a geometric
// dilution, and a routine of them with a demand settles at its fixed point.
//
// Sources: masses by package substance, the reference composition by package
// seawater; order and waiting times are common practice without a source.
//
// Not here: what the tank needs besides water changes (correction, whatif).
package makeup
