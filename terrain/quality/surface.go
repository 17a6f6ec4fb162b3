package quality

import (
	"math"
	"sync"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// roughness is how much of a grid juts out like tree tops and roofs.
type roughness struct {
	Share float64 // of the cells looked at
	Cells int     // of the grid, by that share
	BumpM float64 // change of rise within a cell that counts
}

const (
	// A bump is 1.5 m or ¾ of a cell, whichever is more: what brush, trees and
	// eaves show and mown ground does not. Chosen, with the share, on one town's
	// bare earth and first surface at 2 m (0.5 and 27 % of cells) and on a steep
	// ridge at 1 m (below 0.01 %).
	bumpM, bumpCells = 1.5, 0.75
	surfaceShare     = 0.03

	// On coarser cells ground itself bends as much as trees stand up.
	surfaceMaxCellM = 5

	surfaceCells = 1 << 20 // looked at, about
)

// findSurface looks whether a grid shows the first thing that light or radar
// met rather than bare ground. The statistic is the share of cells at which the
// rise from the neighbour on one side and the rise to that on the other differ
// by 1.5 m or more (¾ of a cell on cells above 2 m), along the row or the column;
// more than 3 % is a surface model. An even slope, however steep, has no such
// cell.
//
// It is not asked on cells above 5 m or where heights come in steps too coarse
// to tell. A few houses in wide fields, smooth closed canopy and low brush stay
// below the share; boulder fields, badlands and quarries may go over it.
func findSurface(g *terrain.Grid, stairs Stairs, stepped bool, watch *beside.Watch) (roughness, bool) {
	w, h := g.MiddleCellM()
	s := roughness{BumpM: math.Max(bumpM, bumpCells*math.Max(w, h))}
	if math.Max(w, h) > surfaceMaxCellM {
		return s, false
	}
	if stepped && stairs.QuantumM > s.BumpM/4 {
		return s, false
	}
	every := max(1, g.Rows*g.Cols/surfaceCells)
	limit := float32(s.BumpM)
	seen, bumps := 0, 0
	for r := 1; r+1 < g.Rows; r += every {
		watch.Did(g.Cols)
		up, mid, down := g.Line(r-1), g.Line(r), g.Line(r+1)
		if len(mid) < 3 {
			break
		}
		east := mid[2:]
		west, mid, up, down := mid[:len(east)], mid[1:][:len(east)], up[1:][:len(east)], down[1:][:len(east)]
		for c, e := range east {
			z := 2 * mid[c]
			along, across := z-west[c]-e, z-up[c]-down[c]
			if !(along+across == along+across) {
				continue
			}
			seen++
			if along >= limit || along <= -limit || across >= limit || across <= -limit {
				bumps++
			}
		}
	}
	if seen == 0 {
		return s, false
	}
	s.Share = float64(bumps) / float64(seen)
	s.Cells = int(math.Round(s.Share * float64(g.Rows*g.Cols-g.Voids())))
	return s, s.Share > surfaceShare
}

// roughOnce is what [findSurface] found, which is asked of a look twice.
type roughOnce struct {
	sync.Mutex
	known   bool
	found   roughness
	surface bool
}

// surface is what findSurface finds on the look's grid.
func (l *Look) surface(watch *beside.Watch) (roughness, bool) {
	r := l.rough
	r.Lock()
	defer r.Unlock()
	if !r.known { // nor is it where the watch ended the finding
		r.found, r.surface = findSurface(l.grid, l.stairs, l.stepped, watch)
		r.known = true
	}
	return r.found, r.surface
}

// surfaceDoubts tells of ground that is rougher than bare ground is.
func surfaceDoubts(l *Look, watch *beside.Watch) []Doubt {
	s, rough := l.surface(watch)
	if !rough {
		return nil
	}
	feet := ""
	if l.assumedMetres {
		feet = ", or feet taken for meters"
	}
	return []Doubt{doubt(DoubtSurface, s.Cells, "%.2g%% of the cells jut out by %.2g m or more: tree tops and roofs rather than bare ground, or boulders and cliffs%s", 100*s.Share, s.BumpM, feet)}
}
