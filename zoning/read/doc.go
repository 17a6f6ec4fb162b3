// Package read makes the ground of a map from files. It needs GDAL, and so cgo.
//
// [Prepare] reads a boundary, the site files beside it and one window of elevation around
// both, and returns a [mapping.Ground], of which any number of maps can be made without
// reading again. [LotSource] does the same for one of many lots after another, from rasters
// that stay open.
//
// # What comes in
//
// Parcel boundaries and site features in the files people have: GeoJSON, KML and KMZ, GPX,
// Shapefile (a zipped one too) and GeoPackage; elevation, and a first surface beside it,
// in what [raster.NewCatalogue] takes. [Read] and [Lots] make a lot of each feature that
// holds a polygon, in WGS84 longitude and latitude, checked and, where little is at stake,
// repaired. [ReadSite] and [SiteFiles] make site features of points, lines and polygons,
// whose polygons are treated in the same way.
//
// # What comes out
//
// A lot's ground is valid by the OGC Simple Features rules (06-103r4, section
// 6.1.11), wound by RFC 7946 (shells counter-clockwise) and cut in two where it
// crosses the antimeridian. Its edges are straight in longitude and latitude.
// Where the file's own CRS bends an edge by more than 5 mm on the ground,
// points are added to it; the two lots on either side of an edge get the same
// points. Corners of a file that is in WGS84 already (or in a datum that PROJ
// takes for it, as NAD83) are the file's own figures; others are rounded to 9
// decimals, a tenth of a millimetre.
//
// # Repairs
//
// Ground belongs to a lot where a shell goes round it, however often, and no
// hole of that shell does. Of a boundary that crosses itself both lobes stay,
// whichever way they are wound. What the repair changed is the ground that this
// rule and the even-odd rule (inside after an odd number of edges) see
// differently: a pocket the boundary goes round twice, a hole or the part of
// one that lies outside its shell, a hole in a hole; and lobes that the shell goes
// round the other way than round most of the lot, for a boundary whose corners are
// out of order encloses too little: one half of a bow-tie, where the lot was twice as
// large. A lot is refused where that is more than [Options.Repair] of its acres. Parts of a lot that share an edge or
// overlap become one, and overlapping ground counts once. A boundary whose edges meet
// more than 2000 times is refused with the first places, before any repair.
//
// # Walked boundaries
//
// Each track and each route of a GPX file is a lot. It is closed by a straight
// edge where it ends within [Options.CloseM] of its start and a fifth of the way
// walked; else it is refused. Stretches of a track (trkseg) that each come back
// to their own start are parts of the lot; others are joined end to start over
// gaps of at most [Options.CloseM]. Heights and times are not read, waypoints
// left out. A walk is repaired like any boundary, but refused where it crosses
// itself so that more than that share of its acres lie beside the largest piece.
//
// # How well the line is known
//
// [Prepare] measures the ground so near to the line that it may be the neighbor's;
// [zoning.BoundaryQuality] says how near that is.
//
// # Files from strangers
//
// A file is opened by the driver of the format its first bytes show, by no
// other, and without a network: an old GeoJSON "crs" link is not followed.
//
// # Contexts
//
// [Prepare] and [LotSource.Prepare] look at their context between files, lots and rasters.
// What is being read is read to its end.
//
// # Goroutines
//
// Several goroutines may call the functions of this package at once. A [LotSource] belongs
// to one goroutine, as its catalogues do, and is fastest tied to a thread: PROJ opens its
// database anew on every thread that asks it something. The [mapping.Ground] that comes out
// refers to nothing that was opened here.
package read
