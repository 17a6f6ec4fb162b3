package survey

import (
	"errors"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Map classifies the ground for a fleet. It reads no file and does not change
// the ground. The same ground and fleet give the same map, to the bit, however
// many processors there are.
func Map(g *Ground, fleet []zoning.Machine) (*zoning.ZoneMap, error) {
	if err := zoning.CheckFleet(fleet); err != nil {
		return nil, err
	}
	grid := g.Elevation.Grid
	field := slope.NewField(grid)
	cells := &zoning.Cells{
		Masks: make([]zoning.Mask, grid.Cols*grid.Rows),
		Cols:  grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame,
	}
	inParts(grid.Rows, func(r0, r1 int) {
		slope.Rows(grid, r0, r1, field)
		part := slope.Field{Cols: grid.Cols, Rows: r1 - r0, Squared: field.Squared[r0*grid.Cols : r1*grid.Cols]}
		// Until a site says otherwise, a machine may work where it may stand.
		zoning.Stand(&part, fleet, cells.Masks[r0*grid.Cols:])
	})

	m := &zoning.ZoneMap{
		Fleet: fleet, Lots: make([]zoning.LotMap, len(g.Lots)), Sources: g.Elevation.Sources,
		Assumed: assumed(g.Elevation.Sources), Warnings: slices.Clone(g.Warnings), Cautions: zoning.Cautions(),
	}
	errs := make([]error, len(g.Lots))
	inParts(len(g.Lots), func(from, to int) {
		for i := from; i < to; i++ {
			m.Lots[i], errs[i] = zoning.MapLot(cells, field, fleet, g.Lots[i].Parcel)
			m.Lots[i].Notes = g.Lots[i].Notes
		}
	})
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	for _, f := range g.Failed {
		m.Warnings = append(m.Warnings, "left out: "+f.Err.Error())
	}
	m.Warnings = append(m.Warnings, sourceWarnings(g.Elevation.Sources)...)
	return m, nil
}

// inParts calls work for contiguous parts of n things, at once.
func inParts(n int, work func(from, to int)) {
	parts := min(runtime.GOMAXPROCS(0), n)
	var wg sync.WaitGroup
	for i := range parts {
		wg.Go(func() { work(i*n/parts, (i+1)*n/parts) })
	}
	wg.Wait()
}

// assumed lists what was assumed of the elevation, each once.
func assumed(sources []terrain.Source) []string {
	var out []string
	for _, s := range sources {
		for _, a := range s.Assumed {
			if !slices.Contains(out, a) {
				out = append(out, a)
			}
		}
	}
	return out
}

func sourceWarnings(sources []terrain.Source) []string {
	var out []string
	for _, s := range sources {
		for _, w := range s.Warnings {
			out = append(out, fmt.Sprintf("%s: %s", s.Path, w))
		}
	}
	return out
}
