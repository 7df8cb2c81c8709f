// Package painted draws photographs of a tank front that never was: rock, sand and
// colonies that grow by a known law, fish that swim, light that changes, a camera held
// by hand. Tests measure on them what is known, and the demo shows them.
//
// Model: a scene is painted once, flat, from value noise; a photograph looks at it
// through a homography, with its own light, and things in front of it.
//
// Limits: one plane, no refraction, no real texture of living things. What is measured
// well here may be measured less well in a tank.
package painted
