// Package raster fills terrain grids from public elevation rasters through
// GDAL: any raster format it reads, any CRS, north-up, south-up or rotated, in a
// zip or not. Only the window asked for is read.
//
// Heights come out in metres. Where a raster does not say what its heights are,
// [Open] lists what it assumed in the source's Assumed, and refuses rather than
// guess feet: heights in feet taken for metres read too steep, heights in metres
// taken for feet read too gentle, and that kills.
package raster
