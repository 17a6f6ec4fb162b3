// Package terrain holds heights and says where they lie on the ground.
//
// A [Grid] is a plain window of heights. Its [Frame] places every cell in WGS84
// longitude and latitude and gives the [Metric] that turns height differences
// between cells into slope on the ground, whatever the raster's CRS: degrees,
// feet, a stretched Web Mercator, a UTM zone far from home, a conic whose axes
// are not square. Distances are those of the WGS84 ellipsoid. Ground that lies
// h metres above it is longer by h/6 371 000, so slopes read 0.05 % too steep
// (0.02 points on 35%) at 3 300 m: on the safe side, and left at that.
//
// [Growth] sets a first surface against the ground, and says what that is worth.
//
// For drawing, [Shade] lights ground and [Contours] draws lines of equal height.
//
// The package needs no GDAL; [github.com/acreband/acreband/terrain/raster]
// fills grids from public rasters.
package terrain
