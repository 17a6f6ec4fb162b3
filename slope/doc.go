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
// Slope from a raster sees what the raster sees: no hole, stump, wet ground or
// bank narrower than about two cells.
package slope
