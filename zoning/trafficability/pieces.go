package trafficability

import (
	"math/bits"

	"github.com/acreband/acreband/terrain/beside"
)

// pieceRun is cells of a row side by side, from one to before another, and the piece that they
// are of: root is a run of it. At the root of a piece, size is that of the whole.
type pieceRun struct{ from, to, root, size int }

// pieces are the runs of a set, row by row, joined where they touch.
type pieces []pieceRun

// piecesOf joins the runs of a set by their sides, and where corners says so by their corners, by
// union-find. measure is the size of a run.
func (l *lie) piecesOf(s cellSet, corners bool, measure func(from, to int) int, watch *beside.Watch) (out pieces) {
	reach := 0
	if corners {
		reach = 1
	}
	above, first := 0, 0 // where the runs of the row above, and of this one, begin
	for r := range l.rows {
		watch.Did(l.cols)
		above, first = first, len(out)
		at, before := above, (r-1)*l.cols
		eachRun(s.row(r), func(c, end int) {
			n, from := len(out), r*l.cols+c
			out = append(out, pieceRun{from, from + end - c, n, measure(from, from+end-c)})
			for at < first && out[at].to+reach <= before+c {
				at++
			}
			for ; at < first && out[at].from < before+end+reach; at++ {
				out.join(at, n)
			}
			at = max(at-1, above) // the last may touch the next run, too
		})
	}
	return out
}

// rootOf is the root of a run's piece.
func (p pieces) rootOf(n int) int {
	for p[n].root != n {
		p[n].root = p[p[n].root].root
		n = p[n].root
	}
	return n
}

func (p pieces) join(a, b int) {
	if a, b = p.rootOf(a), p.rootOf(b); a != b {
		p[a].root = b
		p[b].size += p[a].size
	}
}

// eachRun visits the runs of a set's row, from a column to before another.
func eachRun(row []uint64, visit func(from, to int)) {
	from, before := -1, uint64(0)
	for w, word := range row {
		// Where a cell and the one before it are not both in the set or not.
		for turns := word ^ (word<<1 | before); turns != 0; turns &= turns - 1 {
			if c := w*64 + bits.TrailingZeros64(turns); from < 0 {
				from = c
			} else {
				visit(from, c)
				from = -1
			}
		}
		before = word >> 63
	}
	if from >= 0 { // up to the end of the last word
		visit(from, 64*len(row))
	}
}
