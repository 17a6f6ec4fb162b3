package trafficability

import (
	"bytes"
	"cmp"
	"math"
	"math/bits"
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
			p.newFlood().findPockets()
		}
		p.promote(turns, reached)
		return
	}
	var seeds []int
	for n, place := range p.ground.Staging {
		off, uses := false, p.usesPlace(n)
		for _, i := range place {
			if p.scratch.stage[p.padded(i)] == turns {
				off = true
				if uses {
					seeds = append(seeds, i)
				}
			}
		}
		if !off {
			p.idle = append(p.idle, n)
		}
	}
	f := p.newFlood()
	if p.ground.WaterLines != nil && !p.ground.AcresOnly {
		p.crossings = bytes.Repeat([]uint8{Unreached}, p.lie.cols*p.lie.rows)
		f.water = p.water
	}
	f.reachFrom(seeds)
	f.water = padSet{}
	if !p.ground.AcresOnly {
		f.countUnloads()
		f.findPockets()
		p.across = f
	}
}

// accessAcross finds the ground that is left and would be reached by someone who drives
// across the slope.
func (p *mover) accessAcross() {
	f := p.across
	if p.across = nil; f == nil || bytes.IndexByte(p.scratch.stage, turns) < 0 {
		return
	}
	f.admits.allWhereAny()
	for r := range p.lie.rows {
		got, left := f.got.row(r), f.left.row(r)
		atLeastStage(got, p.stages(r), reached)
		atLeastStage(left, p.stages(r), turns)
		if without(left, left, got); !isZero(left) {
			f.ask(r+pad, 1, len(left))
		}
	}
	f.news = f.news[:0]
	f.spread()
	for _, n := range f.news {
		setBytes(p.scratch.stage[p.padded(f.firstCell(n.at)):], []uint64{n.cells}, across)
	}
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
func (f *flood) findPockets() {
	perCell := f.lie.areaM2 / terrain.SquareMetresPerAcre
	for at := range f.left.words {
		for f.left.words[at] != 0 {
			pocket := Pocket{Cell: f.firstCell(at) + bits.TrailingZeros64(f.left.words[at])}
			f.news = f.news[:0]
			f.arrive(pocket.Cell)
			f.spread()
			f.eachNew(func(i int) {
				if f.ground.Lots[i] {
					pocket.Acres += perCell
				}
			})
			if pocket.Acres >= leastPocketAcres && len(f.pockets) < math.MaxUint16 {
				f.number(len(f.pockets) + 1)
				f.pockets = append(f.pockets, pocket)
			}
		}
	}
	slices.SortFunc(f.pieces, func(a, b zoning.PieceRun) int { return cmp.Compare(a.From, b.From) })
	slices.SortStableFunc(f.pockets, func(a, b Pocket) int { return cmp.Compare(b.Acres, a.Acres) })
}

// number gives the cells that were got to, which lie in one piece, its number. They were got to in
// parts of words: those of a row are put together.
func (f *flood) number(n int) {
	marks, cols := f.scratch.marks, f.lie.cols
	first, end := f.lie.rows, 0
	for _, got := range f.news {
		row := f.firstCell(got.at) / cols
		first, end = min(first, row), max(end, row+1)
	}
	clear(marks.bits[first*marks.words : end*marks.words])
	for _, got := range f.news {
		from := f.firstCell(got.at)
		marks.row(from / cols)[from%cols/64] |= got.cells
	}
	for row := first; row < end; row++ {
		eachRun(marks.row(row), func(from, to int) {
			f.pieces = append(f.pieces, zoning.PieceRun{From: int32(row*cols + from), To: int32(row*cols + to), Piece: uint16(n)})
		})
	}
}
