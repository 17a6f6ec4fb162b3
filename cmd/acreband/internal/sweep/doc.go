// Package sweep writes bands and slope for a whole raster, or all rasters of a
// catalogue, by slope alone: no lots, no turning, no ways in. Rasters that lie on one
// grid are one output, those of several grids one for each; where grids overlap each has
// its own answer.
//
// # How it goes
//
// The ground is cut into pieces of [PieceCols] × [PieceRows] cells, counted from the
// north-west of all rasters. Each is read with what its outermost cells need to see
// around it, judged by a [mapping.SlopeJudge], packed into the tiles of the output and written
// into a file of its own in a folder beside the outputs, which gets its name when it is
// whole. A run that is started again goes on with the pieces that are missing, whatever
// ended the one before. When all are there their tiles are copied, as they are, into one
// cloud-optimised GeoTIFF with overviews, and the pieces are taken away.
//
// Pieces are worked at once, each on one processor. Memory is that of as many pieces
// as there are workers, some 100 MB each. The same inputs give the same bytes, however
// many workers there are and however often a run was ended.
//
// Slopes are rounded by [slope.Rounding], which their file says, bands drawn before that.
//
// # What it is worth
//
// A cell without elevation is of the band unknown; where no raster lies within a whole
// piece it is nodata. Water is looked for in each piece and at least 40 m around it.
// Bands say where a machine may stand, not that it gets there or turns there.
package sweep
