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
// least-squares plane to all cells of a footprint with equal weights, on
// window-relative coordinates:
//
//	p = Σ i·z / Σ i²,  q = Σ j·z / Σ j²    over the footprint's columns i and rows j
//
// With 3 × 3 cells that is the method of Evans, and of Sharpnack and Akin 1969
// (((c+f+i) - (a+d+g)) / 6). Smoothing hides banks, so the mean square distance
// from the plane and the greatest step within the footprint are kept beside it,
// to be held to limits of their own. At 3 m on metre cells it takes about 2.7
// times the time of cell scale, at 5 m 3.7 and at 9 m 5.7.
//
// # Coarser cells
//
// A coarser raster reads gentler: mean and spread of slope fall, most on steep
// ground (Thompson et al. 2001, from 10 to 30 m). The same 150 acres
// of a dissected ridge, lidar at 1 m averaged to coarser cells, at cell scale:
//
//	cell    mean slope   greatest   above 40%
//	 1 m    26.5%        424%       38.2 acres
//	 3 m    25.2%        219%       36.6 acres
//	10 m    21.5%        105%       26.7 acres
//	30 m    15.2%         51%        3.9 acres
//
// [Hidden] bounds what is missing of each cell, by how rough the raster is around it and how
// that grows with its cells.
//
// # Error
//
// A raster's vertical error ([Noise]) becomes a covariance of the two gradients
// ([Noise.Covariance]): the sum over pairs of cells of their weights times what
// their errors share, exp(-d/range), d on the ground. Independent errors of σz on
// square cells of w make 0.433 σz/w of slope by Horn and 0.408 σz/w by the plane
// of 3 × 3. Independent is not the worst: an error that reaches about as far as
// the window (Oksanen and Sarjakoski 2005) makes, per σz/w,
//
//	window         3×3 Horn  3×3    5×5    7×7    15×15
//	independent    0.433     0.408  0.141  0.071  0.015
//	worst range    0.482     0.459  0.238  0.165  0.075
//
// and that is taken where the range is not known, as it seldom is. A raster's own residuals
// from a quadratic surface bound all of that from above ([Noise.Within]). Noise from cell to
// cell that is larger than lidar's is told from ground ([WhiteNoiseM]) and may be smoothed
// ([Gaussian]) before slope is taken.
//
// Measured slope is the length of a vector with an error, so noise steepens flat
// ground, by σ·√(π/2) on average. [Cov.Upper] is the slope that the ground is
// below at a stated certainty; [Cov.SureBelow] turns a limit into the measured
// slope that is surely inside it. Over 10.3 m cells of 0.82 m error, 35% is sure
// where 29.4% or less is measured; over 30.9 m cells of 9.73 m, at 3.8%: such a
// raster is for screening, not for machines.
//
// [Spread] adds up what bounds the slope of each cell.
//
// The error is that of whole windows and of the plane through them. It knows
// nothing of banks inside a window, of cells beside voids, of long tails, nor
// of trees taken for ground.
//
// Slope from a raster sees what the raster sees: no hole, stump, wet ground or
// bank narrower than about two cells.
package slope
