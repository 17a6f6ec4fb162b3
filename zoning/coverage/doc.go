// Package coverage cuts labelled cells at a boundary and draws what comes of it.
//
// A [Window] holds a label for each cell: a [Mask] of the classes that may have it, the
// first of which gets it. What the classes stand for is the caller's. [Cut] makes a
// [Coverage] of the ground within a boundary: faces of one label each, and the arcs that
// neighbors share, so that no ground is counted twice or lost. [Coverage.Simplify] draws
// its lines with fewer vertices, [Coverage.Polygons] draws the classes, and
// [Coverage.EachCell] gives every cell its share inside.
//
// Longitude comes first, in WGS84 degrees. [AreaM2] and [Acres] measure on the ellipsoid,
// along edges that are straight in longitude and latitude.
package coverage
