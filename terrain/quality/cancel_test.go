package quality

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// looks is a context that counts how often it is looked at, and is done after some.
type looks struct {
	context.Context
	n, until int
}

func (l *looks) Err() error {
	if l.n++; l.n > l.until {
		return context.Canceled
	}
	return nil
}

// Detectors went on for seconds after nobody waited: every pass over the cells looks at its
// context once in 65 536 of them.
func TestEachPassLooksAtItsContext(t *testing.T) {
	const n = 300 // 90 000 cells: one look a pass, and the second at 131 072 is not reached by one
	g := gentle(t, n, n, 1, nil)
	flat := gridOf(t, n, n, 1, func(c, r int) float64 { return 300 })
	for name, c := range map[string]struct {
		looks int // beside that at the beginning
		find  func(watch *beside.Watch)
	}{
		"heights' range": {1, func(w *beside.Watch) { heightRange(g, w) }},
		"plateaus":       {2, func(w *beside.Watch) { plateaus(g, w) }},
		"flats":          {1, func(w *beside.Watch) { findFlats(g, w) }},
		"water":          {2, func(w *beside.Watch) { waterOf(flat, nil, false, resampling{}, w) }},
		"tiles":          {1, func(w *beside.Watch) { findBlocks(g, w) }},
		"coarser":        {2, func(w *beside.Watch) { findCoarser(g, w) }},
		"surface":        {1, func(w *beside.Watch) { findSurface(g, Stairs{}, false, w) }},
		"seams":          {1, func(w *beside.Watch) { findSeams(g, w) }},
	} {
		ctx := &looks{context.Background(), 0, 1000}
		c.find(beside.NewWatch(ctx))
		assert.Equal(t, 1+c.looks, ctx.n, name)
	}
}

// Doubts ends with the context's error wherever that is done, and so does each detector.
func TestDoubtsEndOnceNobodyWaits(t *testing.T) {
	g := gentle(t, 300, 300, 1, nil)
	look := must(NewLook(context.Background(), g))
	whole := &looks{context.Background(), 0, 1000}
	must(look.Doubts(whole, true))
	assert.Equal(t, len(Detectors())+2, whole.n, "each at its beginning, two in their passes")
	for k := range whole.n {
		ctx := &looks{context.Background(), 0, k}
		told, err := look.Doubts(ctx, true)
		assert.ErrorIs(t, err, context.Canceled)
		assert.Nil(t, told)
		assert.Equal(t, k+1, ctx.n, "nothing is begun after it")
	}
	for _, d := range Detectors() {
		_, err := d.Find(&looks{context.Background(), 0, 0}, look)
		assert.ErrorIs(t, err, context.Canceled)
	}
	_, err := NewLook(&looks{context.Background(), 0, 2}, g)
	assert.ErrorIs(t, err, context.Canceled)
}

// Of many cells only some rows are looked at: every second from twice the number on.
func TestSurfacesOfManyCellsAreSampled(t *testing.T) {
	ridged := func(cols, rows int) *terrain.Grid { // two rows in three are no bump's: see every fourth, an even one
		return gridOf(t, cols, rows, 1, func(c, r int) float64 { return 100 + over(r%4 == 0) })
	}
	all, _ := findSurface(ridged(7, 299593), Stairs{}, false, nil) // 2^21 - 1 cells
	assert.InDelta(t, 0.25, all.Share, 1e-5, "a ridge bends by 2 m, beside it by 1 m")
	some, _ := findSurface(ridged(8, 262144), Stairs{}, false, nil)
	assert.Zero(t, some.Share, "odd rows alone")
}

// Of more than 64 lines some are looked at for bends, of more than 32 rows for usual steps.
func TestBendsAndStepsOfManyLinesAreSampled(t *testing.T) {
	rough := func(rows int) *terrain.Grid { // even rows bend, odd ones are level
		return gridOf(t, 40, rows, 1, func(c, r int) float64 { return 100 + over(r%2 == 0)*float64(c%3) })
	}
	assert.Positive(t, bends(rough(127), false, 1)[0], "every row")
	assert.Zero(t, bends(rough(128), false, 1)[0], "every second, from the first on")
	steps := func(rows int) float64 {
		return usualStep(gridOf(t, 40, rows, 1, func(c, r int) float64 { return 100 + float64(c)*(1+2*over(r%2 == 0)) }))
	}
	assert.Equal(t, 3.0, steps(63), "every row: 32 of 63 by 3 m")
	assert.Equal(t, 1.0, steps(64), "every second, from the first on")
}

// Two of three bands are not enough: a tile at the edge has fewer than four.
func TestOfFewerBandsAllAgree(t *testing.T) {
	for bands, found := range map[int]bool{3: true, 2: false} {
		g := gridOf(t, 256, 192, 2, func(c, r int) float64 {
			if r/64 < bands {
				return 100 + 3*float64(c/5%7)
			}
			return 100 + 0.01*float64(c*c%31)
		})
		_, ok := period(g, 0, 0, 256, 192, 1, false, quietBlocks, leastBlock)
		assert.Equal(t, found, ok, "%d bands", bands)
	}
}
