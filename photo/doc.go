// Package photo has what measuring with photographs needs before anything else:
// pictures as planes of light, homographies, and taking a picture in without trusting
// it.
//
// Conventions: pixels are counted from 0, the centre of the first one is (0, 0);
// coordinates are those of the full picture, upright as its metadata say. A
// homography is row-major with its last figure 1.
//
// Sources: Hartley & Zisserman (2004), Multiple View Geometry, for homographies; Exif
// 2.32 for the orientation of a picture.
//
// Limits: one plane of the scene at a time; no lens model (what a lens bends is left
// in the residuals of a fit).
package photo
