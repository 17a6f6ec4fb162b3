package survey

import (
	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/work"
)

// layLots marks the cells of the lots.
func (g *Ground) layLots() {
	grid := g.Elevation.Grid
	window := &zoning.Cells{Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}
	g.work.Lots = make([]bool, grid.Cols*grid.Rows)
	for _, lot := range g.Lots {
		window.EachInside(lot.Ground, func(row, from, to int) {
			for i := row*grid.Cols + from; i < row*grid.Cols+to; i++ {
				g.work.Lots[i] = true
			}
		})
	}
	g.work.Drive = g.work.Lots
}

// workable finds where the machines of a fleet may work, on the ground assumed and,
// for its acres, on the other.
func (g *Ground) workable(field *slope.Field, firm []zoning.Mask, closed []bool, dry, wet []zoning.Machine, on zoning.Moisture) (here, other *work.Work) {
	ground := g.work
	ground.Grid, ground.Field, ground.Firm, ground.Closed = g.Elevation.Grid, field, firm, closed
	if on == zoning.Wet {
		dry, wet = wet, dry
	}
	here = work.Find(&ground, dry)
	other = work.Find(&ground, wet)
	return here, other
}

// acresByBand sums the lots' acres by band over masks that were not cut.
func acresByBand(masks []zoning.Mask, cols, rows int, fleet []zoning.Machine, lots []zoning.LotMap, errs []error) []float64 {
	acres := make([]float64, len(zoning.Bands(fleet)))
	for i, lot := range lots {
		if errs[i] != nil {
			continue
		}
		sums := make([]float64, len(acres))
		var whole float64
		lot.Coverage.EachCell(func(col, row int, share float64) {
			mask := zoning.Unknown
			if col >= 0 && row >= 0 && col < cols && row < rows {
				mask = masks[row*cols+col]
			}
			sums[zoning.BandOf(mask, len(fleet))] += share
			whole += share
		})
		for b, s := range sums {
			acres[b] += lot.Acres * s / whole
		}
	}
	return acres
}
