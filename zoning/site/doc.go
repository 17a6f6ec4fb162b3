// Package site holds what lies on and around a parcel beside its ground: places
// closed to machines, setbacks, soft ground, leave trees, growth, overhead
// lines, buildings, roads, where the trailer unloads.
//
// A [Feature] is one shape of a site file. Package read reads files and
// calls [Describe], which checks what is said of a shape. [Lay] lays features on
// a grid, one value a cell, as masks are; [Near] gives the cells within a
// distance of a shape.
//
// # Cells and shapes
//
// What forbids counts on every cell that its shape touches, be it at a corner:
// no-go, buildings, soft ground, selective clearing, stems and height of growth.
// What permits counts where the middle of a cell lies in it: travel and staging
// areas, and the cover that rates are taken by.
//
// # Distances
//
// A distance is horizontal, from the middle of a cell straight to the nearest
// point of the shape itself, in the grid's ground metric at the cell: within
// 1 cm at 300 m. A cell counts as within a setback up to 1 mm beyond it, so that
// rounding keeps a machine further away, and where the shape touches it.
//
// # Limits
//
// A setback is a planning value; the local code decides. A line's clearance is
// taken from above, without its sag, and the machine's reach comes on top.
package site
