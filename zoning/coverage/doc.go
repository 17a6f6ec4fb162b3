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
//
// # Boundaries
//
// Ground is inside where a shell goes around it and no hole does: rings may be wound either
// way and left open, shells that overlap count once, and a ring that crosses itself is
// refused with [ErrCrossesItself].
//
// # Memory
//
// A cut takes at most 2 bytes for a cell of the parcel's box and 2.5 kB for a cell on its
// boundary.
//
// # Goroutines
//
// One window may be cut by several goroutines at once, and one coverage read or simplified
// by several: neither is changed. Who writes to a window's masks must be alone with it.
//
// # What it does not do
//
// It repairs no boundary, reads and writes no files, knows no coordinate system but WGS84,
// and joins no cells that meet only at a corner.
package coverage
