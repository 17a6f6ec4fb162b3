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
	w := &Work{
		Why: make([][]zoning.Why, len(fleet)), Stands: make([][]bool, len(fleet)),
		Crossings: make([][]uint8, len(fleet)), Pockets: make([][]Pocket, len(fleet)), Idle: make([][]int, len(fleet)), Unloads: make([][]int, len(fleet)), Pieces: make([]zoning.Pieces, len(fleet)), Pinches: make([][]Pinch, len(fleet)),
	}
	l := lieOf(g.Grid)
	window := windowOf(g, l, watch)
	works, stands := make([]cellSet, len(fleet)), make([]cellSet, len(fleet))

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
				p := newMover(g, l, window, s, m, k)
				if last {
					p.anchors = anchorsOf(l, fleet, m, stands, p.watch)
				}
				p.ask(k)
				p.find()
				works[k], stands[k] = p.works, p.stands
				w.Why[k], w.Crossings[k], w.Pockets[k], w.Idle[k] = p.why, p.crossings, p.pockets, p.idle
				if !g.AcresOnly && !g.NoStands {
					w.Stands[k] = l.marked(p.stands)
				}
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
	if !g.NoWays {
		w.patches(works, g, l, fleet, watch)
	}
	w.Masks = gathered(works, window.closed, l, watch)
	return w, nil
}

// workers is how many machines are found at a time; each takes some 5 bytes a cell.
const workers = 2

// gathered is what machines may work each cell; closed is what keeps all of them off.
func gathered(works []cellSet, closed []zoning.Why, l *lie, watch *beside.Watch) []zoning.Mask {
	masks := make([]zoning.Mask, len(closed))
	for r := range l.rows {
		watch.Did(l.cols)
		row := masks[r*l.cols:][:l.cols]
		for c, why := range closed[r*l.cols:][:l.cols] {
			if why != zoning.Works {
				row[c] = zoning.NoGo
			}
			if why == zoning.NotMeasured {
				row[c] = zoning.Unknown
			}
		}
		for k := range works {
			watch.Did(l.cols)
			for w, word := range works[k].row(r) {
				if word == 0 {
					continue
				}
				part := row[w*64 : min((w+1)*64, len(row))]
				for j := range part {
					part[j] |= zoning.Mask(word>>j&1) << k
				}
			}
		}
	}
	return masks
}
