package trafficability

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// Ground is what is known of the cells of a window, one value a cell, row-major from
// the north-west. A slice that is nil says nothing of any cell: see [Ground.Check].
type Ground struct {
	Grid  *terrain.Grid
	Field *slope.Field  // slope and aspect; without aspect a slope may lie all across
	Firm  []zoning.Mask // machines that step and roughness let stand

	// Lots marks cells whose middles lie in a lot; nil is the whole window. Drive marks
	// those, and those that machines may cross beside them; nil is the lots alone.
	Lots, Drive []bool

	Closed     []bool     // no-go: water, and what is drawn so
	Setback    []bool     // to be kept out of for what is near
	BearsKPa   []float32  // what soft ground bears; NaN where it is firm
	Keep       []bool     // leave trees stand here: selective clearing
	GrowthM    []float32  // height of the growth; NaN where it is not known
	StemsM     []float32  // the stem that a machine must handle to work there; NaN where it is not known
	LineM      []float32  // distance from what a boom must keep from, its clearance taken off
	StepM      []float32  // height of the bank across the cell, see [StepsOf]; 0 where there is none
	WaterLines []runs.Run // cells of drainage lines, row by row; nil where nobody asks for crossings
	Edges      []Edge     // of drop-offs, see [DropOffs]
	Posts      []Post     // gates and bridges
	// Crests are those of the grid and its slopes, found once for all grounds that share
	// them; nil finds them anew.
	Crests *Crests

	// Rules are asked after those of every map that look at a cell alone; nil adds none.
	Rules []Rule

	// NoWays asks of each cell by itself only, where cells are too coarse to tell one
	// way from another: no width, turning, access, reach, drop-offs or patches.
	NoWays bool
	// AcresOnly leaves out what the masks do not need: reasons, stands, crossings, pockets,
	// tight spots.
	AcresOnly bool
	// NoStands leaves out stands alone: a byte a cell and machine.
	NoStands bool

	// Staging are the places where the trailer unloads, each the cells of one; nil where
	// access is not asked. Unloads are the machines whose load gets to each on the road; nil
	// is all.
	Staging [][]int
	Unloads []zoning.Mask
}

// Check returns why the ground cannot be used: a grid that cannot, or whose cells cannot be
// told apart as written, no slopes of it, a slice that is neither nil nor one value a cell,
// or a place of staging or an edge off the window.
func (g *Ground) Check() error {
	if g == nil {
		return errors.New("there is no ground")
	}
	if err := g.Grid.Check(); err != nil {
		return err
	}
	if !(shortM(g.Grid) >= leastCellM) {
		return coverage.ErrCellSize
	}
	n := g.Grid.Cols * g.Grid.Rows
	f := g.Field
	if f == nil || f.Cols != g.Grid.Cols || f.Rows != g.Grid.Rows || f.Row0 != 0 || len(f.Squared) != n {
		return fmt.Errorf("the slopes are not those of the grid's %d × %d cells", g.Grid.Cols, g.Grid.Rows)
	}
	for _, s := range []struct {
		name  string
		cells int
		isNil bool
	}{
		{"Field.Aspect", len(f.Aspect), f.Aspect == nil}, {"Firm", len(g.Firm), g.Firm == nil},
		{"Lots", len(g.Lots), g.Lots == nil}, {"Drive", len(g.Drive), g.Drive == nil},
		{"Closed", len(g.Closed), g.Closed == nil}, {"Setback", len(g.Setback), g.Setback == nil},
		{"BearsKPa", len(g.BearsKPa), g.BearsKPa == nil}, {"Keep", len(g.Keep), g.Keep == nil},
		{"GrowthM", len(g.GrowthM), g.GrowthM == nil}, {"StemsM", len(g.StemsM), g.StemsM == nil},
		{"LineM", len(g.LineM), g.LineM == nil},
		{"StepM", len(g.StepM), g.StepM == nil},
	} {
		if !s.isNil && s.cells != n {
			return fmt.Errorf("%s has %d values for %d cells; nil says nothing of any", s.name, s.cells, n)
		}
	}
	if err := runs.Check(g.WaterLines, g.Grid.Cols, g.Grid.Rows); err != nil {
		return fmt.Errorf("of WaterLines there is %w", err)
	}
	if err := CheckRules(g.Rules); err != nil {
		return err
	}
	for i, place := range g.Staging {
		for _, cell := range place {
			if cell < 0 || cell >= n {
				return fmt.Errorf("staging %d lies on cell %d of %d: off the window", i+1, cell, n)
			}
		}
	}
	if g.Unloads != nil && len(g.Unloads) != len(g.Staging) {
		return fmt.Errorf("there are %d Unloads for %d places of staging; nil is all machines", len(g.Unloads), len(g.Staging))
	}
	for _, p := range g.Posts {
		if !(p.WeightKg >= 0 && p.WidthM >= 0 && p.HeightM >= 0) {
			return fmt.Errorf("a gate or bridge posted %g kg, %g m wide, %g m high; 0 is not posted", p.WeightKg, p.WidthM, p.HeightM)
		}
		for _, cell := range p.Cells {
			if cell < 0 || cell >= n {
				return fmt.Errorf("a gate or bridge lies on cell %d of %d: off the window", cell, n)
			}
		}
	}
	for _, e := range g.Edges {
		if e.Cell < 0 || e.Cell >= n || !(e.DropM >= 0) || math.IsInf(e.DropM, 0) {
			return fmt.Errorf("an edge of %g m lies on cell %d of %d: no drop-off of this window", e.DropM, e.Cell, n)
		}
	}
	return nil
}

// leastCellM is the narrowest cell, see [coverage.ErrCellSize].
const leastCellM = 0.04

// filled is the ground with lots and ways where nobody told of any.
func (g *Ground) filled() *Ground {
	filled := *g
	if filled.Lots == nil {
		filled.Lots = make([]bool, len(g.Field.Squared))
		fill(filled.Lots)
	}
	if filled.Crests == nil {
		filled.Crests = new(Crests)
	}
	if filled.Drive == nil {
		filled.Drive = filled.Lots
	}
	return &filled
}
