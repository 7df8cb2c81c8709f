// Package colour makes photographs of one scene comparable that were taken under
// different light, and says how far two colours are apart.
//
// Model: where a picture and the reference overlap, both are light reflected by mostly
// the same things. A matrix of three by four that takes the one's light to the other's is
// fitted robustly, so that what grew, swam or glared counts little; what is left of
// it smoothly over the picture (haze, uneven lamps) is taken as a local gain.
// Differences of colour are CIEDE2000.
//
// Sources: IEC 61966-2-1 (sRGB); CIE 15:2004 (L*a*b*, D65); Sharma, Wu & Dalal (2005),
// Color Res. Appl. 30:21 (CIEDE2000).
//
// Limits: a lamp that has no red shows none: what a light does not hold, no matrix
// brings back. Caustics finer than a tenth of the picture are left as they are.
package colour
