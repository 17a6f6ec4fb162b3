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
	cross := riseSquared(p.Driving().CrossPct)
	if math.IsInf(float64(cross), 1) {
		p.promote(fits, turns)
		return
	}
	for i, open := range p.open {
		p.mark[i] = !(open && p.Drive[i] && p.Field.Squared[i] < cross)
	}
	p.grow(p.mark, p.mark, p.disc(p.turnM(), atLeast), true, &p.spare)
	runs := p.runsFrom(p.mark)
	for k, stage := range p.stage {
		switch {
		case stage != fits:
		case runs[k] == math.MaxUint16:
			p.heads[k] = 0
		default:
			p.stage[k] = turns
		}
	}
}

func (p *mover) promote(from, to uint8) {
	for i, s := range p.stage {
		if s == from {
			p.stage[i] = to
		}
	}
}

// runsFrom measures the shortest run of every cell from those that are not marked, by
// the method of Dial 1969 (Algorithm 360, Comm. ACM 12:632): Dijkstra's with a bucket
// for each length.
func (p *mover) runsFrom(noTurn []bool) []uint16 {
	limit := p.RunM
	if limit == 0 {
		limit = zoning.DefaultRunM
	}
	unit := p.shortM / perCell
	for limit/unit > math.MaxUint16-1 {
		unit *= 2
	}
	most := int(limit / unit)
	var cost [len(ways)]int
	longest := 0
	for i, m := range p.lengthM {
		cost[i] = int(math.Ceil(m/unit - 1e-9))
		longest = max(longest, cost[i])
	}
	runs := p.runs()
	for len(p.buckets) <= longest {
		p.buckets = append(p.buckets, nil)
	}
	buckets := p.buckets[:longest+1]
	moves := p.moves()
	p.eachRow(func(row, k int) {
		for i, stage := range p.stage[k:][:p.cols] {
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
			for w := range moves {
				j := k + moves[w].to
				if int(runs[j]) <= at || !p.may(k, &moves[w]) {
					continue
				}
				to := at
				if p.heads[k]&p.heads[j]&p.heads[k+moves[w].over0]&p.heads[k+moves[w].over1] != math.MaxUint8 {
					to += cost[w]
				}
				if to <= most && to < int(runs[j]) {
					runs[j] = uint16(to)
					buckets[to%len(buckets)] = append(buckets[to%len(buckets)], int32(j))
					left++
				}
			}
		}
		*b = (*b)[:0]
	}
	return runs
}

// onRim tells whether some move leads from a cell where the machine can turn to one
// where that is not known.
func (p *mover) onRim(k int, runs []uint16) bool {
	stride := p.cols + 2*pad
	for row := k - 2*stride - 2; row <= k+2*stride-2; row += stride {
		if runs[row]|runs[row+1]|runs[row+2]|runs[row+3]|runs[row+4] != 0 {
			return true
		}
	}
	return false
}

// runs is a run for each padded cell, none found yet.
func (s *scratch) runs() []uint16 {
	if s.run == nil {
		s.run = make([]uint16, len(s.heads))
	}
	for i := range s.run {
		s.run[i] = math.MaxUint16
	}
	return s.run
}
