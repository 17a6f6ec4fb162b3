package trafficability

import (
	"math"

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
	cross := riseSquared(p.machine.Driving().CrossPct)
	if math.IsInf(float64(cross), 1) {
		p.promote(fits, turns)
		return
	}
	for i, open := range p.scratch.open {
		p.scratch.mark[i] = !(open && p.ground.Drive[i] && p.ground.Field.Squared[i] < cross)
	}
	p.lie.grow(p.scratch.mark, p.scratch.mark, p.lie.disc(p.turnM(), atLeast), true, &p.scratch.spare)
	runs := p.runsFrom(p.scratch.mark)
	for k, stage := range p.scratch.stage {
		switch {
		case stage != fits:
		case runs[k] == math.MaxUint16:
			p.scratch.heads[k] = 0
		default:
			p.scratch.stage[k] = turns
		}
	}
}

func (p *mover) promote(from, to uint8) {
	for i, s := range p.scratch.stage {
		if s == from {
			p.scratch.stage[i] = to
		}
	}
}

// runsFrom measures the shortest run of every cell from those that are not marked, by
// the method of Dial 1969 (Algorithm 360, Comm. ACM 12:632): Dijkstra's with a bucket
// for each length.
func (p *mover) runsFrom(noTurn []bool) []uint16 {
	limit := p.machine.RunM
	if limit == 0 {
		limit = zoning.DefaultRunM
	}
	unit := p.lie.shortM / perCell
	for limit/unit > math.MaxUint16-1 {
		unit *= 2
	}
	most := int(limit / unit)
	var cost [len(ways)]int
	longest := 0
	for i, m := range p.lie.lengthM {
		cost[i] = int(math.Ceil(m/unit - 1e-9))
		longest = max(longest, cost[i])
	}
	runs := p.scratch.noRuns()
	for len(p.scratch.buckets) <= longest {
		p.scratch.buckets = append(p.scratch.buckets, nil)
	}
	buckets := p.scratch.buckets[:longest+1]
	moves, heads := p.moves(), p.scratch.heads
	p.eachRow(func(row, k int) {
		for i, stage := range p.scratch.stage[k:][:p.lie.cols] {
			if stage == fits && !noTurn[row+i] {
				runs[k+i] = 0
			}
		}
	})
	for k, run := range runs {
		if run == 0 && p.onRim(k, runs) {
			buckets[0] = append(buckets[0], int32(k))
		}
	}
	for at, left := 0, len(buckets[0]); left > 0; at++ {
		b := &buckets[at%len(buckets)]
		for n := 0; n < len(*b); n++ {
			p.watch.Did(len(moves))
			k := int((*b)[n])
			left--
			if int(runs[k]) != at {
				continue // a shorter run was found since
			}
			own := heads[k]
			for w := range moves {
				m := &moves[w]
				j := k + m.to
				run, to := int(runs[j]), at
				if own != math.MaxUint8 {
					to += cost[w]
				}
				if run <= to || to > most {
					continue
				}
				over := own & heads[j] & heads[k+m.over0] & heads[k+m.over1]
				if over&m.heading == 0 {
					continue
				}
				if own == math.MaxUint8 && over != math.MaxUint8 {
					if to += cost[w]; run <= to || to > most {
						continue
					}
				}
				runs[j] = uint16(to)
				to %= len(buckets)
				buckets[to] = append(buckets[to], int32(j))
				left++
			}
		}
		*b = (*b)[:0]
	}
	return runs
}

// onRim reports whether some move leads from a cell where the machine can turn to one
// where that is not known.
func (p *mover) onRim(k int, runs []uint16) bool {
	stride := p.lie.cols + 2*pad
	for row := k - 2*stride - 2; row <= k+2*stride-2; row += stride {
		if runs[row]|runs[row+1]|runs[row+2]|runs[row+3]|runs[row+4] != 0 {
			return true
		}
	}
	return false
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
