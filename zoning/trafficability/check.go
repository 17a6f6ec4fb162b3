package trafficability

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/zoning/coverage"
)

// Check returns why the ground cannot be used: a grid that cannot, or whose cells cannot be
// told apart as written, no slopes of it, a slice that is neither nil nor one value a cell,
// or a place of staging or an edge off the window.
func (g *Ground) Check() error {
	if err := g.Grid.Check(); err != nil {
		return err
	}
	if !(lieOf(g.Grid).shortM >= leastCellM) {
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
		{"LineM", len(g.LineM), g.LineM == nil}, {"WaterLines", len(g.WaterLines), g.WaterLines == nil},
	} {
		if !s.isNil && s.cells != n {
			return fmt.Errorf("%s has %d values for %d cells; nil says nothing of any", s.name, s.cells, n)
		}
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
	for _, e := range g.Edges {
		if e.Cell < 0 || e.Cell >= n || !(e.DropM >= 0) || math.IsInf(e.DropM, 0) {
			return fmt.Errorf("an edge of %g m lies on cell %d of %d: no drop-off of this window", e.DropM, e.Cell, n)
		}
	}
	return nil
}

// leastCellM is that of zoning.ErrCellSize.
const leastCellM = 0.04

// filled is the ground with lots and ways where nobody told of any.
func (g *Ground) filled() *Ground {
	filled := *g
	if filled.Lots == nil {
		filled.Lots = make([]bool, len(g.Field.Squared))
		fill(filled.Lots)
	}
	if filled.Drive == nil {
		filled.Drive = filled.Lots
	}
	return &filled
}
