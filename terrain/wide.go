package terrain

import "math"

// The wide margin: of the least water that is looked for, 400 m² and 25 cells, 40 m show
// enough where it is 10 m wide, and 8 cells where it touches a corner.
const (
	wideM     = 40
	wideCells = 8
	mostWide  = 64 // cells, of a raster with tiny ones
)

// WideCells is how many cells of a size in meters are read around a place, so that what
// begins in the place shows for what it is: at least 40 m and 8 cells, at most 64 cells;
// 64 of cells of no size.
func WideCells(cellM [2]float64) int {
	n := math.Ceil(wideM / max(min(cellM[0], cellM[1]), 0))
	if n != n {
		return mostWide
	}
	return int(min(max(n, wideCells), mostWide))
}
