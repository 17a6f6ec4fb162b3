package trafficability

import (
	"math"
	"sync"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// mover finds where one machine may work.
type mover struct {
	ground  *Ground
	lie     *lie
	scratch *scratch
	machine zoning.Machine
	index   int // in the fleet
	watch   *beside.Watch
	edges   []Edge
	beside  []bool       // cells off the ground to be driven on that touch it
	water   []bool       // cells of water lines, padded; nil for none
	anchors []bool       // where what holds its tether gets to
	closed  []zoning.Why // to every machine, see groundReasons
	rules   []askedRule

	why       []zoning.Why
	stands    []bool
	crossings []uint8
	pockets   []Pocket
	pinches   []Pinch
	idle      []int
	unloads   []int
	pieces    []uint16
}

// scratch is memory that one machine after the other uses.
type scratch struct {
	heads   []uint8 // headings that keep a cell's slope within limits, padded; 0 where the machine may not be
	open    []bool  // cells that it may be on
	mark    []bool
	spare   spare
	places  []bool
	stage   []uint8 // padded: how far a cell gets as the middle of the machine, see stages
	runs    []run
	run     []uint16
	buckets [][]int32
}

// Stages of a cell as the middle of the machine.
const (
	shut    uint8 = iota
	fits          // it fits there
	turns         // and may turn, or not far away
	across        // and gets there, if only across the slope
	reached       // and gets there
)

// pool keeps memory from one map for the next, as when a limit is changed.
var pool sync.Pool

func scratchFor(l *lie) *scratch {
	n := l.cols * l.rows
	if s, ok := pool.Get().(*scratch); ok && len(s.open) == n && len(s.heads) == (l.cols+2*pad)*(l.rows+2*pad) {
		return s
	}
	return &scratch{
		heads: make([]uint8, (l.cols+2*pad)*(l.rows+2*pad)), open: make([]bool, n), mark: make([]bool, n), places: make([]bool, n),
		stage: make([]uint8, (l.cols+2*pad)*(l.rows+2*pad)),
	}
}

// pad is how many cells of no heading lie around the window, so that no move needs to
// look whether it leaves it.
const pad = 2

// padded is marks of cells on padded cells; nil of none.
func (l *lie) padded(marks []bool) []bool {
	if marks == nil {
		return nil
	}
	out := make([]bool, (l.cols+2*pad)*(l.rows+2*pad))
	for r := range l.rows {
		copy(out[(r+pad)*(l.cols+2*pad)+pad:], marks[r*l.cols:][:l.cols])
	}
	return out
}

func (p *mover) padded(i int) int { return (i/p.lie.cols+pad)*(p.lie.cols+2*pad) + i%p.lie.cols + pad }

// find runs the rules in the order of their reasons.
func (p *mover) find() {
	n := len(p.ground.Field.Squared)
	p.why, p.stands = make([]zoning.Why, n), make([]bool, n)
	p.judge()
	if p.ground.NoWays {
		return
	}
	p.keepFromEdges()
	if p.machine.ReachM == 0 {
		p.keepFromCrests()
	}
	p.fit()
	if p.machine.ReachM > 0 {
		p.keepFromCrests()
	}
	p.turn()
	p.access()
	p.findPinches()
	p.accessAcross()
	p.gather()
	if p.machine.ReachM > 0 {
		p.reach()
	}
}

// alongPct is the steepest ground that the machine may drive on anywhere.
func (p *mover) alongPct() float64 {
	if p.anchors != nil {
		return p.machine.SteepestPct()
	}
	return p.machine.Driving().AlongPct
}

// riseSquared is a limit in percent as a square of rise over run, ties on the steeper
// side; +Inf for none.
func riseSquared(pct float64) float32 {
	if pct == 0 {
		return float32(math.Inf(1))
	}
	rise := max(0, pct/100-zoning.TieRise)
	return float32(rise * rise)
}

// judge asks what each cell says by itself.
func (p *mover) judge() {
	limits := p.machine.Driving()
	cross := riseSquared(limits.CrossPct)
	free := riseSquared(limits.AlongPct) // off a tether
	clear(p.scratch.heads)
	clear(p.scratch.stage)
	aspect := p.ground.Field.Aspect
	p.eachRow(func(row, k int) {
		end := row + p.lie.cols
		squared, drive, beside := p.ground.Field.Squared[row:end], p.ground.Drive[row:end], p.beside[row:end]
		why, closed, open, heads := p.why[row:end], p.closed[row:end], p.scratch.open[row:end], p.scratch.heads[k:][:end-row]
		clear(open)
		for c, s := range squared {
			if !drive[c] && !beside[c] {
				why[c] = zoning.NoWayIn // nobody asks, but a boom may reach it
				if p.machine.ReachM > 0 && (closed[c] != zoning.Works || p.refuses(row+c) == zoning.Works) {
					why[c] = closed[c]
				}
				continue
			}
			i := row + c
			if why[c] = closed[c]; why[c] == zoning.Works {
				why[c] = p.refuses(i)
			}
			if why[c] != zoning.Works {
				continue
			}
			if s >= free && !p.anchored(i) {
				why[c] = zoning.TooSteep
				continue
			}
			h := uint8(math.MaxUint8)
			if !(s < cross) {
				h = p.headingsAt(i, cross)
			}
			if s >= free && aspect != nil { // on a tether it hangs straight down
				h &= p.lie.straight[aspect[i]]
			}
			if h == 0 && !p.ground.NoWays {
				why[c] = zoning.OnlyAcross
				continue
			}
			open[c], heads[c] = true, h
		}
	})
}

// headingsAt are the headings of a cell: where nobody knows which way it falls, its whole
// slope may lie across.
func (p *mover) headingsAt(i int, cross float32) uint8 {
	if p.ground.Field.Aspect == nil {
		if p.ground.Field.Squared[i] < cross {
			return math.MaxUint8
		}
		return 0
	}
	return p.lie.headings(p.ground.Field.Squared[i], p.ground.Field.Aspect[i], cross)
}

// headings are those along which a slope falls across the machine by less than its
// limit.
func (l *lie) headings(squared float32, aspect uint8, cross float32) uint8 {
	if squared < cross {
		return math.MaxUint8
	}
	sins := &l.crossSquared[aspect]
	return bit(squared*sins[0] < cross) | bit(squared*sins[1] < cross)<<1 |
		bit(squared*sins[2] < cross)<<2 | bit(squared*sins[3] < cross)<<3 |
		bit(squared*sins[4] < cross)<<4 | bit(squared*sins[5] < cross)<<5 |
		bit(squared*sins[6] < cross)<<6 | bit(squared*sins[7] < cross)<<7
}

// bit is 1 for true, without a branch.
func bit(is bool) uint8 {
	if is {
		return 1
	}
	return 0
}

// gather says of every cell how far the machine got that comes nearest to it.
func (p *mover) gather() {
	d := p.lie.disc(p.clearM(), atMost)
	if p.ground.AcresOnly { // whatever the reason
		p.cover(reached, d, zoning.OnlyAcross)
	} else {
		p.coverByStage(d)
	}
	p.eachRow(func(from, k int) {
		for i, s := range p.scratch.stage[k:][:p.lie.cols] {
			p.stands[from+i] = s == reached
		}
	})
}

// coverByStage refuses cells by the first stage at which nothing near gets on.
func (p *mover) coverByStage(d disc) {
	var most [reached + 1]int // cells that got at least so far
	for _, s := range p.scratch.stage {
		most[s]++
	}
	for s := reached; s > shut; s-- {
		most[s-1] += most[s]
	}
	for s, why := range [reached + 1]zoning.Why{fits: zoning.TooNarrow, turns: zoning.NoTurn, across: zoning.NoWayIn, reached: zoning.OnlyAcross} {
		if stage := uint8(s); stage == fits || stage > fits && most[stage] < most[stage-1] {
			p.cover(stage, d, why)
		}
	}
}

// eachRow calls visit for every row with its first cell, and that in padded arrays.
func (p *mover) eachRow(visit func(from, k int)) {
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		visit(r*p.lie.cols, (r+pad)*(p.lie.cols+2*pad)+pad)
	}
}

// cover refuses the cells that the machine does not cover from the middles that got
// as far as a stage. A cell beside the ground it may drive on is covered from there.
func (p *mover) cover(from uint8, d disc, otherwise zoning.Why) {
	p.eachRow(func(row, k int) {
		for i, s := range p.scratch.stage[k:][:p.lie.cols] {
			p.scratch.mark[row+i] = s >= from
		}
	})
	p.lie.grow(p.scratch.mark, p.scratch.mark, d, false, &p.scratch.spare)
	for i, why := range p.why {
		if why == zoning.Works && !(p.ground.Drive[i] && p.scratch.mark[i]) && !(p.beside[i] && p.coveredBeside(i)) {
			p.why[i] = otherwise
		}
	}
}

// coveredBeside reports whether a cell off the ground to be driven on, in part of which
// a lot may lie, has a neighbour there that is covered.
func (p *mover) coveredBeside(i int) bool {
	c, r := i%p.lie.cols, i/p.lie.cols
	for y := max(r-1, 0); y <= min(r+1, p.lie.rows-1); y++ {
		for x := max(c-1, 0); x <= min(c+1, p.lie.cols-1); x++ {
			if j := y*p.lie.cols + x; p.ground.Drive[j] && p.scratch.mark[j] {
				return true
			}
		}
	}
	return false
}
