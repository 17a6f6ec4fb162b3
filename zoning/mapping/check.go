package mapping

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

var errNoLot = errors.New("there is no lot")

// check returns why the ground cannot be mapped.
func (g *Ground) check() error {
	if g == nil || g.seen == nil || g.Elevation == nil || len(g.Elevation.Sources) == 0 {
		return errors.New("the ground has no elevation: NewGround makes one")
	}
	if err := checkElevation(g.Elevation); err != nil {
		return err
	}
	switch n := g.Elevation.Grid.Cols * g.Elevation.Grid.Rows; {
	case len(g.Lots) == 0:
		return errNoLot
	case len(g.work.Lots) != n || g.Site == nil:
		return errors.New("the ground was laid on another elevation: NewGround lays it on this one")
	case g.EdgeAcres != nil && len(g.EdgeAcres) != len(g.Lots):
		return fmt.Errorf("EdgeAcres has %d values for %d lots; nil tells of none", len(g.EdgeAcres), len(g.Lots))
	}
	return nil
}

// checkElevation returns why nothing can be laid on an elevation.
func checkElevation(e *terrain.Elevation) error {
	if e == nil || e.Grid == nil || len(e.Sources) == 0 {
		return errors.New("there is no elevation")
	}
	if err := e.Grid.Check(); err != nil {
		return err
	}
	n := e.Grid.Cols * e.Grid.Rows
	switch {
	case e.From != nil && len(e.From) != n:
		return fmt.Errorf("the field From has %d values for %d cells; nil tells of one source", len(e.From), n)
	case e.Stepped != nil && len(e.Stepped) != n:
		return fmt.Errorf("the field Stepped has %d values for %d cells; nil tells of none", len(e.Stepped), n)
	}
	for i, s := range e.From {
		if int(s) >= len(e.Sources) && s != terrain.NoSource {
			return fmt.Errorf("cell %d comes from source %d of %d", i, s, len(e.Sources))
		}
	}
	for _, s := range e.Sources {
		for _, m := range s.CellM {
			if !(m > 0) || math.IsInf(m, 0) {
				return fmt.Errorf("the cells of %s measure %g × %g m; give their sides in meters", s.Path, s.CellM[0], s.CellM[1])
			}
		}
	}
	return nil
}

// checkMap returns why a map is none of the ground's cells.
func (g *Ground) checkMap(m *zoning.ZoneMap) error {
	if g == nil || g.Elevation == nil || m == nil || m.Cells == nil || m.Field == nil {
		return errors.New("there is no map with its cells and slopes: Map makes one")
	}
	grid := g.Elevation.Grid
	if err := grid.Check(); err != nil {
		return err
	}
	n := grid.Cols * grid.Rows
	same := len(m.Cells.Masks) == n && len(m.Field.Squared) == n && len(g.work.Lots) == n && (m.Cells.Lost == nil || len(m.Cells.Lost) == len(m.Fleet))
	for _, lost := range m.Cells.Lost {
		same = same && len(lost) == n
	}
	if !same || m.Drawn != nil && len(m.Drawn) != len(m.Fleet) {
		return errors.New("the map is of other ground")
	}
	return nil
}
