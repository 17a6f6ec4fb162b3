package quality

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"

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
		"plateaus":       {1, func(w *beside.Watch) { plateaus(g, w) }},
		"flats":          {1, func(w *beside.Watch) { findFlats(g, w) }},
		"water":          {2, func(w *beside.Watch) { waterOf(flat, nil, false, resampling{}, w) }},
		"tiles":          {1, func(w *beside.Watch) { findBlocks(g, w) }},
		"coarser":        {2, func(w *beside.Watch) { findCoarser(g, w) }},
		"surface":        {1, func(w *beside.Watch) { findSurface(g, Stairs{}, false, w) }},
		"seams":          {1, func(w *beside.Watch) { findSeams(g, w) }},
		"slanted seams":  {2, func(w *beside.Watch) { findSlanted(g, w) }},
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
	assert.Equal(t, len(Detectors())+5, whole.n, "each at its beginning, two in their passes, and seams in three beside")
	for k := range whole.n {
		ctx := &looks{context.Background(), 0, k}
		told, err := must(NewLook(context.Background(), g)).Doubts(ctx, true)
		assert.ErrorIs(t, err, context.Canceled)
		assert.Nil(t, told)
		assert.Equal(t, k+1, ctx.n, "nothing is begun after it")
	}
	again := &looks{context.Background(), 0, 1000}
	must(look.Doubts(again, true))
	assert.Equal(t, whole.n-1, again.n, "how rough the surface is was found before")
	for _, d := range Detectors() {
		_, err := d.Find(&looks{context.Background(), 0, 0}, look)
		assert.ErrorIs(t, err, context.Canceled)
	}
	_, err := NewLook(&looks{context.Background(), 0, 2}, g)
	assert.ErrorIs(t, err, context.Canceled)
}
