package work

import (
	"bytes"
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
)

// move is a way on the padded cells.
type move struct {
	to, over0, over1 int
	heading          uint8 // a bit
}

// moves are the ways on the padded cells. A move over no cell goes over its own end
// again.
func (p *mover) moves() (m [len(ways)]move) {
	stride := p.cols + 2*pad
	for i, w := range ways {
		to := w.dr*stride + w.dc
		m[i] = move{to, to, to, 1 << w.heading}
		if w.over != [2][2]int{} {
			m[i].over0, m[i].over1 = w.over[0][1]*stride+w.over[0][0], w.over[1][1]*stride+w.over[1][0]
		}
	}
	return m
}

// may tells whether the machine may make a move from a padded cell: the heading is
// one that the slope admits there, where it ends, and between.
func (p *mover) may(k int, m *move) bool {
	return p.heads[k]&p.heads[k+m.to]&p.heads[k+m.over0]&p.heads[k+m.over1]&m.heading != 0
}

// UnloadM is how far from where the trailer unloads a machine may begin: about the
// length of a trailer's ramp and its own (planning value, no source).
const UnloadM = 5

// Unreached stands for the crossings on the way to a cell that the middle of a machine
// does not get to.
const Unreached = math.MaxUint8

// access finds the ground that the machine gets to.
func (p *mover) access() {
	if p.Staging == nil {
		p.findPockets()
		p.promote(turns, reached)
		return
	}
	var seeds []int32
	for n, place := range p.Staging {
		off := false
		for _, i := range place {
			if p.stage[i] == turns {
				seeds, off = append(seeds, int32(p.padded(i))), true
			}
		}
		if !off {
			p.idle = append(p.idle, n)
		}
	}
	if p.WaterLines != nil {
		p.crossings = bytes.Repeat([]uint8{Unreached}, len(p.stage))
	}
	p.flood(seeds, reached)
}

// accessAcross finds the ground that is left and would be reached by someone who drives
// across the slope.
func (p *mover) accessAcross() {
	if p.Staging == nil {
		return
	}
	var seeds []int32
	for i, s := range p.stage {
		k := p.padded(i)
		if p.heads[k] != 0 {
			p.heads[k] = math.MaxUint8
		}
		if s == reached {
			seeds = append(seeds, int32(k))
		}
	}
	p.flood(seeds, across)
}

// flood gives a stage to all cells that seeds lead to, and counts the water lines to
// be crossed on the way with fewest.
func (p *mover) flood(seeds []int32, to uint8) {
	moves := p.moves()
	count := p.crossings != nil && to == reached
	now, next := seeds, []int32(nil)
	for crossed := 0; len(now) > 0; crossed++ {
		begin := now[:0]
		for _, k := range now {
			if i := p.cell(int(k)); p.stage[i] == turns {
				p.stage[i] = to
				if count {
					p.crossings[i] = uint8(min(crossed, Unreached-1))
				}
			} else if crossed > 0 {
				continue // a way with fewer crossings was found since
			}
			begin = append(begin, k)
		}
		now = begin
		for n := 0; n < len(now); n++ {
			k := int(now[n])
			i := p.cell(k)
			for w := range moves {
				j := i + ways[w].dr*p.cols + ways[w].dc
				if !p.may(k, &moves[w]) || p.stage[j] != turns {
					continue
				}
				if count && p.wades(i, j, &ways[w]) {
					next = append(next, int32(k+moves[w].to))
					continue
				}
				p.stage[j] = to
				if count {
					p.crossings[j] = uint8(min(crossed, Unreached-1))
				}
				now = append(now, int32(k+moves[w].to))
			}
		}
		now, next = next, now[:0]
	}
}

// cell is the cell of a padded one.
func (p *mover) cell(k int) int {
	stride := p.cols + 2*pad
	return (k/stride-pad)*p.cols + k%stride - pad
}

// wades tells whether a move from i to j enters a water line.
func (p *mover) wades(i, j int, w *way) bool {
	if p.WaterLines[i] {
		return false
	}
	wet := p.WaterLines[j]
	for _, o := range w.over {
		wet = wet || p.WaterLines[i+o[1]*p.cols+o[0]]
	}
	return wet
}

// Pocket is a piece of ground that a machine cannot drive out of.
type Pocket struct {
	Acres float64
	Cell  int // one of its cells, the first
}

// leastPocketAcres is the smallest pocket that is listed.
const leastPocketAcres = 0.05

// findPockets lists the pieces of ground between which the machine cannot drive.
func (p *mover) findPockets() {
	perCell := p.areaM2 / zoning.SquareMetresPerAcre
	for i, s := range p.stage {
		if s != turns {
			continue
		}
		pocket := Pocket{Cell: i}
		p.queue = append(p.queue[:0], int32(p.padded(i)))
		p.spread(p.queue, func(i int) {
			if p.Lots[i] {
				pocket.Acres += perCell
			}
		})
		if pocket.Acres >= leastPocketAcres {
			p.pockets = append(p.pockets, pocket)
		}
	}
	slices.SortStableFunc(p.pockets, func(a, b Pocket) int { return cmp.Compare(b.Acres, a.Acres) })
	p.promote(across, turns)
}

// spread marks what a cell leads to as seen, and visits it.
func (p *mover) spread(queue []int32, visit func(i int)) {
	moves := p.moves()
	p.stage[p.cell(int(queue[0]))] = across
	for n := 0; n < len(queue); n++ {
		k := int(queue[n])
		i := p.cell(k)
		visit(i)
		for w := range moves {
			if j := i + ways[w].dr*p.cols + ways[w].dc; p.may(k, &moves[w]) && p.stage[j] == turns {
				p.stage[j] = across
				queue = append(queue, int32(k+moves[w].to))
			}
		}
	}
	p.queue = queue
}
