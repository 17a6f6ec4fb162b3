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
// The rooms below it measure growth (canopy), find water and doubtful heights
// (quality), drainage lines and hollows (flow), and light ground and draw contours
// (relief). None of them needs GDAL; [github.com/acreband/acreband/terrain/raster]
// does, and fills grids from public rasters.
package terrain
