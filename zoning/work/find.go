package work

import (
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// Find finds where each machine of a fleet may work. The same ground and fleet give
// the same answer whatever the number of processors.
func Find(g *Ground, fleet []zoning.Machine) *Work {
	n := len(g.Field.Squared)
	w := &Work{
		Masks: make([]zoning.Mask, n), Why: make([][]zoning.Reason, len(fleet)), Stands: make([][]bool, len(fleet)),
		Crossings: make([][]uint8, len(fleet)), Pockets: make([][]Pocket, len(fleet)), Idle: make([][]int, len(fleet)), Pinches: make([][]Pinch, len(fleet)),
	}
	l := lieOf(g.Grid)
	fringe := l.touched(g.Drive)
	for i, drive := range g.Drive {
		fringe[i] = fringe[i] && !drive
	}

	// A tether hangs on a machine that has to get there first.
	tethered := func(m zoning.Machine) bool { return m.TetherBasis != "" }
	var all beside.Group
	free := make(chan *scratch, workers)
	for range workers {
		free <- nil
	}
	for _, last := range []bool{false, true} {
		for k, m := range fleet {
			if tethered(m) != last {
				continue
			}
			s := <-free
			all.Go(func() {
				if s == nil {
					s = scratchFor(l)
				}
				p := &mover{Ground: g, lie: l, scratch: s, Machine: m, bit: 1 << k, edges: g.Edges, beside: fringe}
				if last {
					p.anchors = anchorsOf(l, fleet, m, w.Stands)
				}
				p.find()
				w.Why[k], w.Stands[k], w.Crossings[k], w.Pockets[k], w.Idle[k] = p.why, p.stands, p.crossings, p.pockets, p.idle
				w.Pinches[k] = p.pinches
				free <- s
			})
		}
		all.Wait()
	}
	for range workers {
		if s := <-free; s != nil {
			pool.Put(s)
		}
	}
	w.mask(g, fleet)
	if !g.NoWays {
		w.patches(g, l, fleet)
	}
	return w
}

// workers is how many machines are found at a time; each takes some 25 bytes a cell.
const workers = 2

// mask gathers what machines may work each cell.
func (w *Work) mask(g *Ground, fleet []zoning.Machine) {
	for i, s := range g.Field.Squared {
		switch {
		case g.Closed != nil && g.Closed[i] || g.Setback != nil && g.Setback[i]:
			w.Masks[i] = zoning.NoGo
		case s != s:
			w.Masks[i] = zoning.Unknown
		default:
			for k := range fleet {
				if w.Why[k][i] == zoning.Works {
					w.Masks[i] |= 1 << k
				}
			}
		}
	}
}
