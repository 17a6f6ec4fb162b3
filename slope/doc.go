// Package slope computes the gradient of the ground from a grid of heights.
//
// At cell scale it is the method of Horn 1981 (Hill shading and the reflectance
// map, Proc. IEEE 69:14), on the ground metric of the grid's frame, so that
// degrees, feet, stretched and skewed rasters all give the slope of the ground:
//
//	a b c    p = ((c-a) + 2(f-d) + (i-g)) / 8   rise per cell along the row
//	d e f    q = ((g-a) + 2(h-b) + (i-c)) / 8   rise per cell down the column
//	g h i    slope² = A·p² + 2B·p·q + C·q²      see terrain.Metric
//
// Horn's gradient is that of the least-squares plane through the nine cells
// with the binomial weights 1-2-1, 2-4-2, 1-2-1. Where neighbours have no
// elevation, and at the edge of the grid, the plane is fitted with the same
// weights to the cells that remain, so a plane stays exact; where those lie on
// one line, and where the cell itself has no elevation, slope is unknown (NaN),
// never guessed.
//
// # Machine scale
//
// A machine stands on its tracks, not on one cell. [Planes] fits the
// least-squares plane to all cells of a footprint with equal weights, on window-
// relative coordinates:
//
//	p = Σ i·z / Σ i²,  q = Σ j·z / Σ j²    over the footprint's columns i and rows j
//
// With 3 × 3 cells that is the method of Evans, and of Sharpnack and Akin 1969
// (((c+f+i) - (a+d+g)) / 6). Smoothing hides banks, so the mean square distance
// from the plane and the greatest step within the footprint are kept beside it,
// to be held to limits of their own. At 3 m on metre cells it takes about 2.7
// times the time of cell scale, at 5 m 3.7 and at 9 m 5.7.
//
// Slope from a raster sees what the raster sees: no hole, stump, wet ground or
// bank narrower than about two cells.
package slope
