package raster

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// invert finds the cell coordinates of WGS84 spots from the raster's own way to
// longitude and latitude: asking PROJ for the way back takes as long again as
// all the rest. A coarse frame over the whole raster gives a first guess and
// the direction in which to mend it. It gives up (ok is false) where a spot
// cannot be found so, as one far off the raster.
func (r *Raster) invert(lonLat [][2]float64) (cells [][2]float64, ok bool) {
	if r.coarse == nil {
		const squares = 16
		step := max(1, (max(r.Source.Cols, r.Source.Rows)+squares-1)/squares)
		f, err := terrain.NewFrame(step, 0, 0, r.Source.Cols, r.Source.Rows, r.Locate)
		if err != nil {
			return nil, false
		}
		r.coarse = f
	}
	goal := make([][2]float64, len(lonLat))
	for i, p := range lonLat {
		goal[i][0], goal[i][1] = r.coarse.Cell(p[0], p[1])
	}
	cells = slices.Clone(goal)
	const rounds, good = 6, 1e-6 // of a cell
	for range rounds {
		places, err := r.Locate(cells)
		if err != nil {
			return nil, false
		}
		worst := 0.0
		for i, p := range places {
			col, row := r.coarse.Cell(p[0], p[1])
			dc, dr := goal[i][0]-col, goal[i][1]-row
			cells[i][0], cells[i][1] = cells[i][0]+dc, cells[i][1]+dr
			off := math.Abs(dc) + math.Abs(dr)
			if math.IsNaN(off) {
				return nil, false
			}
			worst = max(worst, off)
		}
		if worst < good {
			return cells, true
		}
	}
	return nil, false
}
