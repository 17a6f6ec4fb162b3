package trafficability

import (
	"bytes"
	"math"
)

// run is cells of a row side by side: the first, padded, and how many.
type run struct{ at, n int32 }

// flood gives cells of one stage that a machine gets to another. Where all headings are open,
// and no water line is, it goes by runs of a row: of the cells around a run only those are
// looked at that are not reached yet.
type flood struct {
	*mover
	from, to uint8
	water    []bool  // padded, cells of water lines: entering one is left for later; nil for none
	runs     []run   // that were arrived at
	next     int     // the first from which it has not been spread
	waded    []int32 // cells that only moves into water lead to
}

// free reports whether a padded cell is open in all headings, and no water line.
func (f *flood) free(k int) bool {
	return f.scratch.heads[k] == math.MaxUint8 && (f.water == nil || !f.water[k])
}

// arrive gets to a padded cell and, if it is free, along its row as far as cells are.
func (f *flood) arrive(k int) {
	stage := f.scratch.stage
	stage[k] = f.to
	first, end := k, k+1
	if f.free(k) {
		for ; stage[first-1] == f.from && f.free(first-1); first-- {
			stage[first-1] = f.to
		}
		for ; stage[end] == f.from && f.free(end); end++ {
			stage[end] = f.to
		}
	}
	f.runs = append(f.runs, run{int32(first), int32(end - first)})
}

// spread goes on from all runs that were arrived at.
func (f *flood) spread() {
	moves, stage, stride := f.moves(), f.scratch.stage, f.lie.cols+2*pad
	for ; f.next < len(f.runs); f.next++ {
		at, n := int(f.runs[f.next].at), int(f.runs[f.next].n)
		f.watch.Did(len(moves) + n)
		if n == 1 {
			for w := range moves {
				m := &moves[w]
				if j := at + m.to; stage[j] == f.from && f.may(at, m) {
					if f.wades(at, m) {
						f.waded = append(f.waded, int32(j))
					} else {
						f.arrive(j)
					}
				}
			}
			continue
		}
		for dr, row := range waysByRow {
			first, end := at+(dr-2)*stride-2, at+(dr-2)*stride+n+2
			for first < end {
				left := bytes.IndexByte(stage[first:end], f.from)
				if left < 0 {
					break
				}
				first += left + 1
				f.enter(first-1, at, n, &moves, row)
			}
		}
	}
}

// enter gets to a padded cell from the first cell of a run from which one of some ways leads there.
func (f *flood) enter(j, at, n int, moves *[len(ways)]move, by []int) {
	waded := false
	for _, w := range by {
		m := &moves[w]
		k := j - m.to
		if k < at || k >= at+n || !f.may(k, m) {
			continue
		}
		if !f.wades(k, m) {
			f.arrive(j)
			return
		}
		waded = true
	}
	if waded {
		f.waded = append(f.waded, int32(j))
	}
}

// wades reports whether a move from a padded cell enters a water line.
func (f *flood) wades(k int, m *move) bool {
	w := f.water
	return w != nil && !w[k] && (w[k+m.to] || w[k+m.over0] || w[k+m.over1])
}

// waysByRow are the ways by how many rows down they lead, from two up.
var waysByRow = func() (by [5][]int) {
	for i, w := range ways {
		by[w.dr+2] = append(by[w.dr+2], i)
	}
	return by
}()

// reachFrom gets from padded cells to all that they lead to, and counts the water lines to be
// crossed on the way with fewest.
func (p *mover) reachFrom(seeds []int32) {
	f := flood{mover: p, from: turns, to: reached, runs: p.scratch.runs[:0]}
	if p.crossings != nil {
		f.water = p.water
	}
	now := seeds
	for crossed := 0; len(now) > 0; crossed++ {
		first := len(f.runs)
		for _, k := range now {
			if p.scratch.stage[k] == turns { // else a way with fewer crossings was found since
				f.arrive(int(k))
			}
		}
		f.spread()
		if p.crossings != nil {
			for _, r := range f.runs[first:] {
				first := p.cell(int(r.at))
				for i := range p.crossings[first:][:r.n] {
					p.crossings[first+i] = uint8(min(crossed, Unreached-1))
				}
			}
		}
		now, f.waded = f.waded, now[:0]
	}
	p.scratch.runs = f.runs
}
