package trafficability

import (
	"math/bits"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/runs"
)

// piecesOf joins the cells of a set by their sides, and where corners says so by their corners.
func (l *lie) piecesOf(s cellSet, corners bool, watch *beside.Watch) runs.Pieces {
	return runs.Join(l.cols, l.rows, corners, func(r int, visit func(from, to int)) {
		watch.Did(l.cols)
		eachRun(s.row(r), visit)
	})
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
