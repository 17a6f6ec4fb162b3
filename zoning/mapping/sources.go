package mapping

import (
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// oldestSurvey is the oldest date that sources say their ground was measured; ""
// where one of them does not say.
func oldestSurvey(sources []terrain.Source) string {
	oldest := sources[0].Surveyed
	for _, s := range sources {
		oldest = min(oldest, s.Surveyed) // "" is before any date
	}
	return oldest
}

// unsure marks cells whose slope is worth less than the finest source's error says:
// those filled from coarser cells, which hide what is smaller, and those beside a
// step between two surveys. It is nil where there are none.
func unsure(e *terrain.Elevation) []bool {
	if e.From == nil && e.Stepped == nil {
		return nil
	}
	finest := e.Sources[0].CellM[0] * e.Sources[0].CellM[1]
	out := make([]bool, e.Grid.Cols*e.Grid.Rows)
	for i := range out {
		if e.From != nil && e.From[i] != terrain.NoSource {
			cell := e.Sources[e.From[i]].CellM
			out[i] = cell[0]*cell[1] > coarserBy*finest
		}
		out[i] = out[i] || e.Stepped != nil && e.Stepped[i]
	}
	return out
}

// coarserBy is how many times larger in area a cell is that counts as coarser:
// rasters of one survey in two zones differ by a few percent.
const coarserBy = 1.2

// sourceAcres sums for each source the lots' acres whose heights came from it;
// nil where there is one source.
func sourceAcres(e *terrain.Elevation, lots []zoning.LotMap, errs []error, watch *beside.Watch) []float64 {
	if e.From == nil {
		return nil
	}
	acres := make([]float64, len(e.Sources))
	eachCell(e, lots, errs, watch, func(cell int, share float64) {
		if s := e.From[cell]; s != terrain.NoSource {
			acres[s] += share
		}
	})
	return acres
}

// steppedAcres are the lots' acres beside a seam whose two sources do not agree.
func steppedAcres(e *terrain.Elevation, lots []zoning.LotMap, errs []error, watch *beside.Watch) float64 {
	if e.Stepped == nil {
		return 0
	}
	var acres float64
	eachCell(e, lots, errs, watch, func(cell int, share float64) {
		if e.Stepped[cell] {
			acres += share
		}
	})
	return acres
}

// eachCell visits the cells of the lots that were mapped, with the acres of the
// lot that each stands for.
func eachCell(e *terrain.Elevation, lots []zoning.LotMap, errs []error, watch *beside.Watch, visit func(cell int, acres float64)) {
	g := e.Grid
	for i, lot := range lots {
		if errs[i] != nil {
			continue
		}
		whole := lot.Coverage.Cells()
		lot.Coverage.EachCell(func(col, row int, share float64) {
			watch.Did(2)
			if col >= 0 && row >= 0 && col < g.Cols && row < g.Rows {
				visit(row*g.Cols+col, lot.Acres*share/whole)
			}
		})
	}
}
