// Package profile takes the ground along a line from a grid of heights, and stands things
// of a length on it.
//
// Heights between the middles of cells are bilinear, of the four around. Places lie at most
// a third of a cell apart, so that a step from one cell to the next shows as steep as it is at
// one of them at least. Where one of the four has no elevation, nor has the place: a void is
// never bridged, and looks larger here by up to a cell, never smaller.
//
// The line is straight in the cells of the grid. Its lengths are those of the ground on the
// WGS84 ellipsoid, by the grid's own metric.
//
// # Concurrency
//
// A Profile does not change once made; its methods may be called at once from several
// goroutines.
package profile
