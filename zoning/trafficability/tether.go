package trafficability

import (
	"math"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// anchorsOf marks where a machine that may hold the tether of m gets to: the one that
// m names, else any other; none that works on a tether itself. Its tether may end at
// either side of it.
func anchorsOf(l *lie, fleet zoning.Fleet, m zoning.Machine, stands []cellSet, watch *beside.Watch) []bool {
	all, covered, some := l.noCells(), l.noCells(), false
	for k, a := range fleet {
		if a.Key == m.Key || a.TetherBasis != "" || m.Anchor != "" && a.Key != m.Anchor {
			continue
		}
		some = true
		l.grow(covered, stands[k], l.disc(l.clearM(a.WidthM), atMost), false, &spare{watch: watch})
		for i, c := range covered.bits {
			all.bits[i] |= c
		}
	}
	if !some {
		return nil
	}
	return l.marked(all)
}

// anchored reports whether a tether that runs straight up the fall line from a cell ends,
// within its length, where what holds it may stand.
func (p *mover) anchored(i int) bool {
	if p.anchors == nil || p.machine.TetherM == 0 {
		return false
	}
	for left := p.machine.TetherM; ; {
		p.watch.Did(len(neighbours))
		if p.anchors[i] {
			return true
		}
		next, lengthM := p.uphill(i)
		if left -= lengthM; next < 0 || left < 0 {
			return false
		}
		i = next
	}
}

// uphill is the neighbour to which the ground rises most, and how long a line to it
// is; -1 where none is higher.
func (p *mover) uphill(i int) (next int, lengthM float64) {
	next = -1
	c, r := i%p.lie.cols, i/p.lie.cols
	z := p.ground.Grid.Z[r*p.ground.Grid.Stride+c]
	var most float64
	for _, n := range neighbours {
		x, y := c+n[0], r+n[1]
		if x < 0 || y < 0 || x >= p.lie.cols || y >= p.lie.rows {
			continue
		}
		if d := float64(p.ground.Grid.Z[y*p.ground.Grid.Stride+x] - z); d > 0 {
			if run := p.lie.distM(n[0], n[1]); d/run > most {
				next, most, lengthM = y*p.lie.cols+x, d/run, math.Hypot(run, d)
			}
		}
	}
	return next, lengthM
}
