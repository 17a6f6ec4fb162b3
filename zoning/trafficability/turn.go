package trafficability

import (
	"math"
	"math/bits"

	"github.com/acreband/acreband/zoning"
)

// perCell is how finely a run is measured: parts of the shorter side of a cell, rounded
// up for each move.
const perCell = 8

// turn takes off the ground that is too far, up or down the fall line, from where the
// machine can turn. Turning puts the whole slope across it, so it can where slope is
// below its limit across, all round its middle. A run counts on ground above that
// limit only, and keeps to the headings that the slope admits there, which are those
// near the fall line.
func (p *mover) turn() {
	far := p.tooFar()
	p.scratch.lessen()
	if p.scratch.stage == nil {
		p.scratch.stage = make([]uint8, len(p.scratch.heads))
	}
	for r := range p.lie.rows {
		stage, first := p.stages(r), (r+pad)*(p.lie.cols+2*pad)+pad
		writeBytes(stage, p.scratch.fits.row(r), turns)
		each(far.row(r), 0, func(c int) { stage[c], p.scratch.heads[first+c] = fits, 0 })
	}
}

// tooFar finds the middles from which no way leads to where the machine can turn.
func (p *mover) tooFar() cellSet {
	middles, turning, far := p.scratch.fits, p.scratch.grown, p.scratch.marks
	if math.IsInf(float64(riseSquared(p.machine.Driving().CrossPct)), 1) {
		clear(far.bits)
		return far
	}
	p.notOpen(p.scratch.marks)
	for i, gentle := range p.scratch.gentle.bits {
		p.scratch.marks.bits[i] |= middles.inRow(i%middles.words) &^ gentle
	}
	p.lie.grow(turning, p.scratch.marks, p.lie.disc(p.turnM(), atLeast), true, &p.scratch.spare)
	for i, fit := range middles.bits {
		turning.bits[i] = fit &^ turning.bits[i]
	}
	runs := p.runsFrom(turning)
	for r := range p.lie.rows {
		p.watch.Did(p.lie.cols)
		first := (r+pad)*(p.lie.cols+2*pad) + pad
		row := without(far.row(r), middles.row(r), turning.row(r))
		each(row, 0, func(c int) {
			if runs[first+c] != math.MaxUint16 {
				row[c/64] &^= 1 << (c % 64)
			}
		})
	}
	return far
}

// stages are those of the cells of a row.
func (p *mover) stages(r int) []uint8 {
	return p.scratch.stage[(r+pad)*(p.lie.cols+2*pad)+pad:][:p.lie.cols]
}

func (p *mover) promote(from, to uint8) {
	for i, s := range p.scratch.stage {
		if s == from {
			p.scratch.stage[i] = to
		}
	}
}

// runsFrom measures the shortest run of every cell from those of a set, where it turns.
func (p *mover) runsFrom(turning cellSet) []uint16 {
	limit := p.machine.RunM
	if limit == 0 {
		limit = zoning.DefaultRunM
	}
	unit := p.lie.shortM / perCell
	for limit/unit > math.MaxUint16-1 {
		unit *= 2
	}
	s := runSearch{mover: p, moves: p.moves(), runs: p.scratch.noRuns(), most: int(limit / unit)}
	longest := 0
	for i, m := range p.lie.lengthM {
		s.cost[i] = int(math.Ceil(m/unit - 1e-9))
		longest = max(longest, s.cost[i])
	}
	for len(p.scratch.buckets) <= longest {
		p.scratch.buckets = append(p.scratch.buckets, nil)
	}
	s.buckets = p.scratch.buckets[:longest+1]
	rim := p.onRim(turning)
	for r := range p.lie.rows {
		each(turning.row(r), (r+pad)*(p.lie.cols+2*pad)+pad, func(k int) { s.runs[k] = 0 })
	}
	// Square by square, since runs are short: those of a whole tract would be looked up all over
	// memory. What a square finds beyond its sides, the next may find a shorter run for.
	for top := 0; top < p.lie.rows; top += runSquare {
		for left := 0; left < rim.words; left += runSquare / 64 {
			for r := top; r < min(top+runSquare, p.lie.rows); r++ {
				first := (r+pad)*(p.lie.cols+2*pad) + pad + 64*left
				each(rim.row(r)[left:min(left+runSquare/64, rim.words)], first, func(k int) { s.buckets[0] = append(s.buckets[0], int32(k)) })
			}
			s.spread()
		}
	}
	return s.runs
}

// runSquare is the side, in cells, of the squares from whose cells runs are measured together:
// whole words, and few enough cells to stay at hand.
const runSquare = 256

// runSearch measures runs by the method of Dial 1969 (Algorithm 360, Comm. ACM 12:632):
// Dijkstra's with a bucket for each length, round and round.
type runSearch struct {
	*mover
	moves   [len(ways)]move
	cost    [len(ways)]int // of each on steep ground
	most    int
	runs    []uint16
	buckets [][]int32
}

// spread goes on from the cells in the first bucket, whose run is 0, to all that get a shorter
// run than was known.
func (s *runSearch) spread() {
	runs, heads, buckets, most := s.runs, s.scratch.heads, s.buckets, s.most
	for at, left := 0, len(buckets[0]); left > 0; at++ {
		b := &buckets[at%len(buckets)]
		for n := 0; n < len(*b); n++ {
			s.watch.Did(len(s.moves))
			k := int((*b)[n])
			left--
			if int(runs[k]) != at {
				continue // a shorter run was found since
			}
			own := heads[k]
			for h := own; h != 0; h &= h - 1 { // the headings that it admits, each driven either way
				first := 2 * bits.TrailingZeros8(h)
				for w := first; w < first+2; w++ {
					m := &s.moves[w]
					j := k + m.to
					run, to := int(runs[j]), at
					if own != math.MaxUint8 {
						to += s.cost[w]
					}
					if run <= to || to > most {
						continue
					}
					over := own & heads[j] & heads[k+m.over0] & heads[k+m.over1]
					if over&m.heading == 0 {
						continue
					}
					if own == math.MaxUint8 && over != math.MaxUint8 {
						if to += s.cost[w]; run <= to || to > most {
							continue
						}
					}
					runs[j] = uint16(to)
					in := to % len(buckets)
					buckets[in] = append(buckets[in], int32(j))
					left++
				}
			}
		}
		*b = (*b)[:0]
	}
}

// onRim finds the cells where the machine can turn from which some move may lead to one that
// it fits on and where it cannot.
func (p *mover) onRim(turning cellSet) cellSet {
	others, rim := p.scratch.marks, p.scratch.rim
	for i, fits := range p.scratch.fits.bits {
		others.bits[i] = fits &^ turning.bits[i]
	}
	p.lie.grow(rim, others, disc{half: []int{2, 2, 2}}, false, &p.scratch.spare)
	for i, turn := range turning.bits {
		rim.bits[i] &= turn
	}
	return rim
}

// noRuns is a run for each padded cell, none found yet.
func (s *scratch) noRuns() []uint16 {
	if s.run == nil {
		s.run = make([]uint16, len(s.heads))
	}
	for i := range s.run {
		s.run[i] = math.MaxUint16
	}
	return s.run
}
