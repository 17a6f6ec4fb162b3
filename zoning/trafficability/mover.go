package trafficability

import (
	"math"
	"sync"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// mover finds where one machine may work.
type mover struct {
	*window
	ground  *Ground
	lie     *lie
	scratch *scratch
	machine zoning.Machine
	index   int // in the fleet
	watch   *beside.Watch
	anchors []bool // where what holds its tether gets to
	rules   []askedRule

	works     cellSet      // what no rule has kept it off
	why       []zoning.Why // the first that has; nil where nobody asks for reasons
	stands    cellSet
	crossings []uint8
	pockets   []Pocket
	pinches   []Pinch
	idle      []int
	unloads   []int
	pieces    zoning.Pieces

	across *flood // what is left, for accessAcross
}

// window is what all machines find alike.
type window struct {
	drive  cellSet // to be driven on
	fringe cellSet // off that ground, but touching it
	asked  cellSet // both
	free   cellSet // kept from nobody, see closed

	closed []zoning.Why // to every machine, see close
	water  padSet       // cells of water lines; none where nobody asks
}

func windowOf(g *Ground, l *lie, watch *beside.Watch) *window {
	w := &window{drive: l.cellsOf(g.Drive)}
	w.asked = l.touched(w.drive, watch)
	w.fringe = l.noCells()
	for i, asked := range w.asked.bits {
		w.fringe.bits[i] = asked &^ w.drive.bits[i]
	}
	w.close(g, l, watch)
	if !g.AcresOnly {
		w.water = l.padSetOf(g.WaterLines)
	}
	return w
}

// newMover is a machine, the index-th of its fleet, before any rule is asked.
func newMover(g *Ground, l *lie, w *window, s *scratch, m zoning.Machine, index int) *mover {
	p := &mover{window: w, ground: g, watch: s.spare.watch, lie: l, scratch: s, machine: m, index: index, works: l.noCells(), stands: l.noCells()}
	if !g.AcresOnly {
		p.why = make([]zoning.Why, l.cols*l.rows)
	}
	return p
}

// scratch is memory that one machine after the other uses.
type scratch struct {
	heads   []uint8  // headings that keep a cell's slope within limits, padded; 0 where the machine may not be
	open    cellSet  // that it may be on
	gentle  cellSet  // whose slope is within its limit across
	fits    cellSet  // that its middle fits on
	marks   cellSet  // for one step
	grown   cellSet  // the same
	rim     cellSet  // the same
	row     []uint64 // of a set
	spare   spare
	stage   []uint8   // padded: how far a cell gets as the middle of the machine, see stages; made by turn
	admits  []cellSet // by heading, of a boom that stands
	flood   floodMemory
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
	padded := (l.cols + 2*pad) * (l.rows + 2*pad)
	if s, ok := pool.Get().(*scratch); ok && s.open.cols == l.cols && s.open.words*l.rows == len(s.open.bits) && len(s.heads) == padded {
		return s
	}
	s := &scratch{heads: make([]uint8, padded), stage: make([]uint8, padded)}
	for _, set := range []*cellSet{&s.open, &s.gentle, &s.fits, &s.marks, &s.grown, &s.rim} {
		*set = l.noCells()
	}
	s.row = make([]uint64, s.open.words)
	return s
}

// largeCells is above how many cells memory counts for more than having it at hand; tests lower it.
var largeCells = 8 << 20

// lessen lets go, on a large window, of what only the step before needs: 2 bytes a cell for runs
// to where a machine turns, and 1.4 for a flood.
func (s *scratch) lessen() {
	if s.isLarge() {
		s.run, s.flood = nil, floodMemory{}
	}
}

func (s *scratch) isLarge() bool { return len(s.heads) > largeCells }

// pad is how many cells of no heading lie around the window, so that no move needs to
// look whether it leaves it.
const pad = 2

func (p *mover) padded(i int) int { return (i/p.lie.cols+pad)*(p.lie.cols+2*pad) + i%p.lie.cols + pad }

// find runs the rules in the order of their reasons.
func (p *mover) find() {
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
	p.scratch.lessen()
	p.gather()
	if p.scratch.isLarge() {
		p.scratch.stage = nil // not beside the next machine's runs
	}
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
