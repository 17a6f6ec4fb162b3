package trafficability

import (
	"context"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// Find finds where each machine of a fleet may work. The same ground and fleet give
// the same answer whatever the number of processors. Ground that [Ground.Check] refuses
// and a fleet that [zoning.Fleet.Check] does are errors; once the context is done, Find
// ends with its error.
func Find(ctx context.Context, ground *Ground, fleet zoning.Fleet) (_ *Work, err error) {
	if err := ground.Check(); err != nil {
		return nil, err
	}
	if err := fleet.Check(); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	g := ground.filled()
	n := len(g.Field.Squared)
	w := &Work{
		Masks: make([]zoning.Mask, n), Why: make([][]zoning.Why, len(fleet)), Stands: make([][]bool, len(fleet)),
		Crossings: make([][]uint8, len(fleet)), Pockets: make([][]Pocket, len(fleet)), Idle: make([][]int, len(fleet)), Unloads: make([][]int, len(fleet)), Pieces: make([][]uint16, len(fleet)), Pinches: make([][]Pinch, len(fleet)),
	}
	l := lieOf(g.Grid)
	fringe := l.touched(g.Drive, watch)
	for i, drive := range g.Drive {
		fringe[i] = fringe[i] && !drive
	}

	closed := groundReasons(g)
	var water []bool
	if !g.AcresOnly {
		water = l.padded(g.WaterLines)
	}

	// What holds a tether has to get there first.
	tethered := func(m zoning.Machine) bool { return m.TetherBasis != "" }
	var all beside.Group
	defer all.Wait()
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
				var whole *scratch // not where a panic left it half used
				defer func() { free <- whole }()
				if s == nil {
					s = scratchFor(l)
				}
				s.spare.watch = beside.NewWatch(ctx)
				p := &mover{ground: g, watch: s.spare.watch, lie: l, scratch: s, machine: m, index: k, edges: g.Edges, beside: fringe, water: water, closed: closed}
				if last {
					p.anchors = anchorsOf(l, fleet, m, w.Stands, p.watch)
				}
				p.ask(k)
				p.find()
				w.Why[k], w.Stands[k], w.Crossings[k], w.Pockets[k], w.Idle[k] = p.why, p.stands, p.crossings, p.pockets, p.idle
				w.Pinches[k], w.Unloads[k], w.Pieces[k] = p.pinches, p.unloads, p.pieces
				whole = s
			})
		}
		all.Wait()
	}
	for range workers {
		if s := <-free; s != nil {
			s.spare.watch = nil
			pool.Put(s)
		}
	}
	w.mask(closed, l.cols, watch)
	if !g.NoWays {
		w.patches(g, l, fleet, watch)
	}
	if g.AcresOnly {
		w.Why, w.Stands = make([][]zoning.Why, len(fleet)), make([][]bool, len(fleet))
	}
	return w, nil
}

// workers is how many machines are found at a time; each takes some 25 bytes a cell.
const workers = 2

// mask gathers what machines may work each cell; closed is what keeps all of them off.
func (w *Work) mask(closed []zoning.Why, cols int, watch *beside.Watch) {
	for i, why := range closed {
		if i%cols == 0 {
			watch.Did(cols)
		}
		switch why {
		case zoning.Works:
		case zoning.NotMeasured:
			w.Masks[i] = zoning.Unknown
		default:
			w.Masks[i] = zoning.NoGo
		}
	}
	for k, whys := range w.Why {
		watch.Did(len(whys))
		for i, why := range whys {
			w.Masks[i] |= zoning.Mask(bit(why == zoning.Works)) << k
		}
	}
}
