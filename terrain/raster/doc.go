// Package raster fills terrain grids from public elevation rasters through
// GDAL: any raster format it reads, any CRS, north-up, south-up or rotated, in a
// zip or not. Only the window asked for is read.
//
// Heights come out in metres. Where a raster does not say what its heights are,
// [Open] lists what it assumed in the source's Assumed, and refuses rather than
// guess feet: heights in feet taken for metres read too steep, heights in metres
// taken for feet read too gentle, and that kills.
//
// What holds something else than heights is refused ([ErrNotHeights]): by its unit, its
// name or what it says of itself, by values of 8 bits or a palette, or by values that are
// like those of a slope.
//
// # Which elevation
//
// A [Catalogue] looks through files, zips, folders, patterns, tile indexes, http
// addresses and services known by name, and opens what lies around a place. Of a
// folder only headers are read, once; an index file keeps them until a file, or
// what lies beside it under the same name, changes its size or time. A change
// that keeps both is not seen.
//
// # Several sources
//
// [Read] keeps the finest grid and fills what it lacks from coarser ones, finest
// first, by bilinear interpolation. Interpolated heights are no better than the
// cells they come from, however fine the grid that holds them:
// [Elevation].From tells which they are. Where two sources meet, the step between
// them is the difference of both where both have heights; where they do not
// overlap, it is what the heights jump beyond the rise on either side, set
// against the jumps beside the seam, so that rough ground is not taken for a
// step. A step of less than 2% of a cell, which makes a slope of 1%, is let pass.
// What lies off the place but within the rectangle around it counts too. Sources that
// cover the same ground and cannot both hold its heights are refused ([ErrDisagree]), by
// a sample of what both have; which of them won is told.
//
// # Many places
//
// Work on thousands of small places shares a [Cache] of decoded blocks through
// [CatalogueOf], which reads what the catalogue it came from would, and takes them
// in the order of [Catalogue.SpotOf]. The cache counts what it decodes.
//
// # Servers
//
// Files at an address are read by ranges, through GDAL. A server that is slow,
// busy or breaks off is asked a few times more, then given up with an error:
// ground that could not be fetched is never taken for ground without elevation.
// What reads takes a context, and returns its error once it is done, within a strip of
// cells: a request that is on its way is not waited for.
// GDAL's own configuration options overrule the limits (GDAL_HTTP_TIMEOUT,
// GDAL_HTTP_MAX_RETRY and so on).
//
// A file that itself names addresses, as a VRT of remote rasters does, is refused before
// GDAL sees it ([ErrRemote]), unless [Options].AllowRemote.
//
// # Writing
//
// [WriteClasses] and [WriteValues] write cells as cloud-optimised GeoTIFFs where
// [Elevation].Georeference says that a window lies.
package raster
