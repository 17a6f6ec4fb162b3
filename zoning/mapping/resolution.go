package mapping

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning"
)

// resolution is what a grid's heights are worth: the cells that say something of their own,
// the error of the heights, and what that makes of slope.
type resolution struct {
	cellM [2]float64 // of the raster that the heights come from, on the ground
	noise slope.Noise
	// measured says that the noise is what the heights show, not what is assumed of such
	// cells or what somebody gave.
	measured bool
	spread   slope.Spread
	doubt    []bool // cells whose slope nothing bounds; nil where there are none
	unseen   string // what cells hide of slope, in words; "" where that is nothing
	coarse   bool   // so much that no ground is sure
}

// resolve finds what heights are worth at a scale. A grid that was drawn from a coarser one
// has the cells and the error of that, heights in steps and tree tops the error of those.
func resolve(ctx context.Context, e *terrain.Elevation, look *quality.Look, s *scaled, fleet zoning.Fleet, given *slope.Noise) (*resolution, error) {
	grid := e.Grid
	r := &resolution{cellM: e.Sources[0].CellM, doubt: unsure(e)}
	metric := middleMetric(grid)
	kernel, overM, span := s.kernel(), s.overM(r.cellM), [2]int{1, 1}
	if c, drawn := look.Coarser(); drawn && c.Tiles == nil {
		// Its slopes are those of facets between four heights, and show what three of its
		// cells would.
		r.cellM, span, kernel, overM = c.CellM, c.Span, slope.FacetKernel(), windowCells*max(c.CellM[0], c.CellM[1])
		cols, rows := float64(span[0]), float64(span[1])
		metric.A, metric.B, metric.C = metric.A/(cols*cols), metric.B/(cols*rows), metric.C/(rows*rows)
	} else if drawn {
		r.doubt = marked(r.doubt, grid, c.Tiles)
	}
	if given != nil {
		r.noise = *given
	} else {
		assumed := slope.AssumedNoise(max(r.cellM[0], r.cellM[1]))
		r.noise = assumed.Within(slope.ResidualsOf(leavingOut(grid, either(r.doubt, look.Water().Mask(false))), span), kernel, metric)
		r.measured = r.noise.From != assumed.From
		high, err := look.SurfaceM(ctx)
		if err != nil {
			return nil, err
		}
		if high > r.noise.SigmaM {
			r.noise, r.measured = slope.Noise{SigmaM: high, RangeM: slope.RangeUnknown, From: "measured from the raster: its heights are those of tree tops and roofs, or as rough"}, true
		}
	}
	r.spread.Cov = r.noise.Covariance(kernel, metric)
	shown := span
	if s.smooth != nil && span == [2]int{1, 1} { // neighbours say the same
		shown = [2]int{2, 2}
	}
	quiet, err := s.quiet(ctx, grid)
	if err != nil {
		return nil, err
	}
	r.spread.Hidden = slope.HiddenIn(quiet, shown, overM, fleet.LeastFootprintM())
	var unseen []string
	if r.spread.Hidden != nil {
		unseen = append(unseen, fmt.Sprintf("cells of %.3g m hide slope from a machine %.3g m long: on half of the ground it may be %.2g points steeper than it reads",
			max(r.cellM[0], r.cellM[1]), fleet.LeastFootprintM(), 100*r.spread.Hidden.MedianRise(slope.Certainty)))
	}
	if stairs, stepped := look.Stairs(); stepped {
		r.spread.OffBy = stairs.MeaninglessPct / 100
		unseen = append(unseen, fmt.Sprintf("heights in whole steps of %s put any slope off by as much as %.2g points", stairs.Unit, stairs.MeaninglessPct))
	}
	r.unseen = strings.Join(unseen, "; ")
	r.coarse = max(r.cellM[0], r.cellM[1]) >= screeningM
	return r, nil
}

// weigh finds what the heights are worth, by what a look at them tells, and draws the fleet
// inside its limits by it where the options ask for that.
func (m *mapping) weigh(ctx context.Context) (err error) {
	if m.looked, err = m.Ground.look(ctx); err != nil {
		return err
	}
	if m.worth, err = resolve(ctx, m.Elevation, m.looked.look, &m.scale, m.fleet, m.o.Noise); err != nil {
		return err
	}
	cov := m.worth.spread.Cov
	m.surePct = SurePct(cov, m.fleet)
	m.dry, m.wet = m.o.within(cov, m.dry), m.o.within(cov, m.wet)
	m.cells.Unsure = m.worth.doubt
	m.cells.FootPct, m.cells.FootUpperPct = zoning.FootPctOn(m.o.Ground, cov), zoning.SteepestFootPct(m.o.Ground)
	return nil
}

// noise is the error that is reckoned with where nothing in the heights may decide, so that
// every part of a raster is judged alike.
func (o Options) noise(cellM [2]float64) slope.Noise {
	if o.Noise != nil {
		return *o.Noise
	}
	return slope.AssumedNoise(max(cellM[0], cellM[1]))
}

// covariance is that of the gradients of a grid at a scale.
func covariance(n slope.Noise, s scaled, g *terrain.Grid) slope.Cov {
	return n.Covariance(s.kernel(), middleMetric(g))
}

// leavingOut is a grid without the heights of some cells: smooth ones, such as of water, of a
// coarser source or drawn from one, would speak for those that were measured.
func leavingOut(g *terrain.Grid, cells []bool) *terrain.Grid {
	if !slices.Contains(cells, true) {
		return g
	}
	out := *g
	out.Stride, out.Z = g.Cols, make([]float32, 0, g.Cols*g.Rows)
	for r := range g.Rows {
		out.Z = append(out.Z, g.Line(r)...)
	}
	for i, is := range cells {
		if is {
			out.Z[i] = float32(math.NaN())
		}
	}
	return &out
}

// middleMetric is that of the middle of the ground: across one job it changes by far less
// than the error is known to.
func middleMetric(g *terrain.Grid) terrain.Metric {
	return g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2)
}

// windowCells is how many cells lie across the window of slope at cell scale.
const windowCells = 3

// overM is the ground over which slope is taken. A Gaussian before it adds to the variance of
// a window, a twelfth of its length squared, its own.
func (s *scaled) overM(cellM [2]float64) float64 {
	if s.footprint == nil {
		return windowCells * max(cellM[0], cellM[1])
	}
	window := max(float64(2*s.footprint.HalfCols+1)*cellM[0], float64(2*s.footprint.HalfRows+1)*cellM[1])
	if s.smooth != nil {
		window = math.Sqrt(window*window + 12*smoothM*smoothM)
	}
	return window
}

// kernel is how slope weighs heights.
func (s *scaled) kernel() slope.Kernel {
	if s.footprint == nil {
		return slope.HornKernel()
	}
	k := slope.PlaneKernel(s.footprint.HalfCols, s.footprint.HalfRows)
	if s.smooth != nil {
		k = k.After(*s.smooth)
	}
	return k
}

// marked marks the cells of windows of a grid beside those that are.
func marked(cells []bool, g *terrain.Grid, tiles []terrain.Window) []bool {
	if cells == nil {
		cells = make([]bool, g.Cols*g.Rows)
	}
	for _, t := range tiles {
		for r := t.Row0; r < t.Row1; r++ {
			for c := t.Col0; c < t.Col1; c++ {
				cells[r*g.Cols+c] = true
			}
		}
	}
	return cells
}
