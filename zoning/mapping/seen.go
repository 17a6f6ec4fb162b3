package mapping

import (
	"context"
	"sync"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/zoning/trafficability"
)

// seen is what a grid shows by itself, found once however often it is mapped.
type seen struct {
	looked   ofGrid[looked]
	rims     ofGrid[rims]
	drainage ofGrid[*flow.Drainage]
}

// ofGrid is something found of a grid. Whoever wants it while it is looked for waits.
type ofGrid[T any] struct {
	sync.Mutex
	grid  *terrain.Grid // of which it was found; nil of none
	found T
}

// or is what was found of a grid, or else what find finds now.
func (o *ofGrid[T]) or(grid *terrain.Grid, find func() (T, error)) (T, error) {
	o.Lock()
	defer o.Unlock()
	if o.grid != grid {
		found, err := find()
		if err != nil {
			return found, err
		}
		o.grid, o.found = grid, found
	}
	return o.found, nil
}

// looked is what a look at heights tells.
type looked struct {
	look  *quality.Look
	water []bool // nil where there is none
}

// rims are banks and the edges of drops.
type rims struct {
	banks []bank.Bank
	drops []trafficability.Edge
	stepM []float32 // across each cell; nil where there is none
}

// look finds water and what makes heights doubtful.
func (g *Ground) look(ctx context.Context) (looked, error) {
	return g.seen.looked.or(g.Elevation.Grid, func() (looked, error) {
		look, err := quality.NewLook(ctx, g.Elevation.Grid)
		if err != nil {
			return looked{}, err
		}
		look = look.Of(g.Elevation)
		return looked{look, look.Water().Mask(false)}, nil
	})
}

// drain finds where water runs.
func (g *Ground) drain(ctx context.Context) (*flow.Drainage, error) {
	l, err := g.look(ctx)
	if err != nil {
		return nil, err
	}
	return g.seen.drainage.or(g.Elevation.Grid, func() (*flow.Drainage, error) {
		return flow.Drain(ctx, g.Elevation.Grid, flow.Options{Water: l.look.Water()})
	})
}

// findRims finds banks, the steps that they make of cells, and drop-offs.
func (g *Ground) findRims(ctx context.Context) (rims, error) {
	l, err := g.look(ctx)
	if err != nil {
		return rims{}, err
	}
	grid := g.Elevation.Grid
	return g.seen.rims.or(grid, func() (r rims, err error) {
		r.banks, err = bank.Find(ctx, grid, bank.Options{QuantumM: l.look.QuantumM(), CoarseM: l.look.CoarseM()})
		if err != nil {
			return rims{}, err
		}
		r.stepM = trafficability.StepsOf(grid, r.banks)
		r.drops, err = trafficability.DropOffs(ctx, grid, r.banks)
		return r, err
	})
}
