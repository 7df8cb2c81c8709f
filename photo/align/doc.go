// Package align finds how a photograph lies over a reference photograph of the same
// scene, months apart, hand-held, through glass.
//
// Model: features that survive a change of scale, turn and light (differences of
// Gaussians with gradient histograms) are matched both ways; a homography most of them
// agree on is found by sampling and made exact by weighing each match by how well it
// fits. Then small patches all over the scene are compared, bright for dark, and their
// displacements, again weighed, correct it: what swims or sways fits badly and counts
// little. The doubt of the corners follows from the scatter of what counts; where it
// is too large, or what agrees is too little or in too small a part of the picture, no
// alignment is reported.
//
// Sources: Lowe (2004), Int. J. Comput. Vis. 60:91 (features); Arandjelović &
// Zisserman (2012), CVPR (square root of histograms); Fischler & Bolles (1981),
// Commun. ACM 24:381, and Chum, Matas & Kittler (2003), DAGM (sampling with local
// optimisation); Baker & Matthews (2004), Int. J. Comput. Vis. 56:221 (patches).
//
// Limits: the scene is taken for one plane; the picture must show it from about the
// same side (turned by less than a quarter).
package align
