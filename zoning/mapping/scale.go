package mapping

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
)

// Scale is the ground over which slope is taken.
type Scale string

const (
	// AutoScale is machine scale where cells are less than half a footprint, and
	// cell scale elsewhere.
	AutoScale Scale = ""
	// CellScale is the 3 × 3 cells around each, by Horn.
	CellScale Scale = "cell"
	// MachineScale is the plane under a machine's footprint.
	MachineScale Scale = "machine"
)

// screeningM is the cell from which a map only says which parcels to look at: by
// then a cell is longer than most faces that stop a machine.
const screeningM = 20

// ErrTooCoarse says that cells are too large for slope at machine scale.
var ErrTooCoarse = errors.New("too coarse for machine scale")

// scaled is a scale as it is applied to one raster.
type scaled struct {
	footprint *slope.Footprint // nil at cell scale
	careM     float64
	words     string
	warning   string // to be told by warn
	screening bool   // whether it says that the cells are for screening

	noiseM   float64         // what differs from cell to cell without being ground, by [scaled.quieten]
	smooth   *slope.Gaussian // taken of the heights first; nil where they are quiet
	smoothed *terrain.Grid   // by that, once somebody asked
}

func scaleFor(s Scale, fleet zoning.Fleet, cellM [2]float64) (scaled, error) {
	metres := fleet.LeastFootprintM()
	f, fine := slope.FootprintOf(metres, cellM)
	cell := scaled{words: fmt.Sprintf("cell: 3 × 3 cells of %.3g × %.3g m", cellM[0], cellM[1])}
	machine := scaled{
		footprint: &f, careM: fleet.StepCareM(),
		words: fmt.Sprintf("machine: plane over %d × %d cells, %.3g × %.3g m",
			2*f.HalfCols+1, 2*f.HalfRows+1, float64(2*f.HalfCols+1)*cellM[0], float64(2*f.HalfRows+1)*cellM[1]),
	}
	tooCoarse := fmt.Sprintf("cells of %.3g × %.3g m are too coarse to show what a machine %.3g m long feels: a bank or a ditch may be hidden, and slopes read gentler than they are",
		cellM[0], cellM[1], metres)
	switch {
	case s == CellScale && fine:
		return cell, nil
	case s == MachineScale && !fine:
		return scaled{}, fmt.Errorf("%w: %s; use a finer raster, or %s cell", ErrTooCoarse, tooCoarse, setting.Name("slope-scale"))
	case fine:
		return machine, nil
	}
	cell.warning = tooCoarse
	if max(cellM[0], cellM[1]) >= screeningM {
		cell.screening, cell.warning = true, "screening only, not for machines: "+tooCoarse
	}
	return cell, nil
}

// warn is the warning as it is told in units; "" where there is none.
func (s *scaled) warn(u measure.Units) string {
	if s.screening {
		return fmt.Sprintf("%s; from cells of %d m on no %s is sure", s.warning, screeningM, u.OneArea())
	}
	return s.warning
}

// slopes computes a strip. What its planes hide is kept no longer than the strip
// is: it takes twice the memory of the slopes.
func (s *scaled) slopes(g *terrain.Grid, r0, r1 int, f *slope.Field) error {
	if s.footprint == nil {
		return slope.Rows(g, r0, r1, f)
	}
	f.AddRelief()
	return slope.Planes(g, *s.footprint, s.careM, r0, r1, f)
}
