package trafficability

import (
	"bytes"
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
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
	stride := p.lie.cols + 2*pad
	for i, w := range ways {
		to := w.dr*stride + w.dc
		m[i] = move{to, to, to, 1 << w.heading}
		if w.over != [2][2]int{} {
			m[i].over0, m[i].over1 = w.over[0][1]*stride+w.over[0][0], w.over[1][1]*stride+w.over[1][0]
		}
	}
	return m
}

// may reports whether the machine may make a move from a padded cell: the heading is
// one that the slope admits there, where it ends, and between.
func (p *mover) may(k int, m *move) bool {
	return p.scratch.heads[k]&p.scratch.heads[k+m.to]&p.scratch.heads[k+m.over0]&p.scratch.heads[k+m.over1]&m.heading != 0
}

// UnloadM is how far from where the trailer unloads a machine may begin: about the
// length of a trailer's ramp and its own (planning value, no source).
const UnloadM = 5

// Unreached stands for the crossings on the way to a cell that the middle of a machine
// does not get to.
const Unreached = math.MaxUint8

// access finds the ground that the machine gets to.
func (p *mover) access() {
	if p.ground.Staging == nil {
		if !p.ground.AcresOnly {
			p.findPockets()
		}
		p.promote(turns, reached)
		return
	}
	var seeds []int32
	for n, place := range p.ground.Staging {
		off, uses := false, p.usesPlace(n)
		for _, i := range place {
			if k := p.padded(i); p.scratch.stage[k] == turns {
				off = true
				if uses {
					seeds = append(seeds, int32(k))
				}
			}
		}
		if !off {
			p.idle = append(p.idle, n)
		}
	}
	if p.ground.WaterLines != nil && !p.ground.AcresOnly {
		p.crossings = bytes.Repeat([]uint8{Unreached}, p.lie.cols*p.lie.rows)
	}
	p.reachFrom(seeds)
	if !p.ground.AcresOnly {
		p.countUnloads()
		p.findPockets()
	}
}

// accessAcross finds the ground that is left and would be reached by someone who drives
// across the slope.
func (p *mover) accessAcross() {
	if p.ground.Staging == nil || p.ground.AcresOnly {
		return
	}
	heads, stage, moves := p.scratch.heads, p.scratch.stage, p.moves()
	for k, h := range heads {
		if h != 0 {
			heads[k] = math.MaxUint8
		}
	}
	var seeds []int32
	for k, s := range stage {
		if s != turns {
			continue
		}
		p.watch.Did(len(moves))
		for w := range moves {
			if m := &moves[w]; stage[k+m.to] == reached && p.may(k, m) {
				seeds = append(seeds, int32(k))
				break
			}
		}
	}
	f := flood{mover: p, from: turns, to: across, runs: p.scratch.runs[:0]}
	for _, k := range seeds {
		if p.scratch.stage[k] == turns {
			f.arrive(int(k))
		}
	}
	f.spread()
	p.scratch.runs = f.runs
}

// cell is the cell of a padded one.
func (p *mover) cell(k int) int {
	stride := p.lie.cols + 2*pad
	return (k/stride-pad)*p.lie.cols + k%stride - pad
}

// Pocket is a piece of ground that a machine cannot drive out of.
type Pocket struct {
	Acres float64
	Cell  int // one of its cells, the first
}

// leastPocketAcres is the smallest pocket that is listed.
const leastPocketAcres = 0.05

// findPockets lists the pieces of ground between which the machine cannot drive, of what
// it is not known to reach.
func (p *mover) findPockets() {
	perCell := p.lie.areaM2 / terrain.SquareMetresPerAcre
	for k, s := range p.scratch.stage {
		if s != turns {
			continue
		}
		pocket := Pocket{Cell: p.cell(k)}
		f := flood{mover: p, from: turns, to: across, runs: p.scratch.runs[:0]}
		f.arrive(k)
		f.spread()
		p.scratch.runs = f.runs
		for _, r := range f.runs {
			first := p.cell(int(r.at))
			for _, in := range p.ground.Lots[first:][:r.n] {
				if in {
					pocket.Acres += perCell
				}
			}
		}
		if pocket.Acres >= leastPocketAcres && len(p.pockets) < math.MaxUint16 {
			p.number(f.runs, len(p.pockets)+1)
			p.pockets = append(p.pockets, pocket)
		}
	}
	slices.SortFunc(p.pieces, func(a, b zoning.PieceRun) int { return cmp.Compare(a.From, b.From) })
	slices.SortStableFunc(p.pockets, func(a, b Pocket) int { return cmp.Compare(b.Acres, a.Acres) })
	p.promote(across, turns)
}

// number gives the cells of runs, which lie in one piece, its number. Where the machine may not
// head all ways its runs are single cells: they are put together.
func (p *mover) number(runs []run, n int) {
	marks, cols := p.scratch.marks, p.lie.cols
	first, end := p.lie.rows, 0
	for _, r := range runs {
		row := p.cell(int(r.at)) / cols
		first, end = min(first, row), max(end, row+1)
	}
	clear(marks.bits[first*marks.words : end*marks.words])
	for _, r := range runs {
		from := p.cell(int(r.at))
		addRun(marks.row(from/cols), from%cols, from%cols+int(r.n))
	}
	for row := first; row < end; row++ {
		eachRun(marks.row(row), func(from, to int) {
			p.pieces = append(p.pieces, zoning.PieceRun{From: int32(row*cols + from), To: int32(row*cols + to), Piece: uint16(n)})
		})
	}
}
