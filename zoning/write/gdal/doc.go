// Package gdal writes what GDAL writes of a zone map: a GeoPackage of the layers of package
// [github.com/acreband/acreband/zoning/write], and cloud-optimized GeoTIFFs of its bands and
// of slope, on the elevation's own cells.
//
// It needs cgo. Each func writes one file to an [io.Writer]; the same map gives the same
// bytes.
package gdal
