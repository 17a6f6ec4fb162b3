package mapping

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
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

// Telling of hazards went on once nobody waited: each pass over the cells looks at its context
// once in 65 536 of them.
func TestHazardsEndOnceNobodyWaits(t *testing.T) {
	const n = 300 // 90 000 cells: a look a pass
	tell := func(until int) (ctx *looks, err error) {
		ctx = &looks{context.Background(), 0, until}
		defer beside.Ended(&err)
		l := tellerOn(t, n, n)
		l.w.Masks = make([]zoning.Mask, n*n)
		for i := range n * n / 3 {
			l.m.Field.Squared[i] = 1
		}
		return ctx, l.Ground.tell(l.m, l.w, l.dry(), rims{}, strips{}, beside.NewWatch(ctx))
	}
	l := tellerOn(t, n, n)
	l.w.Masks = make([]zoning.Mask, n*n)
	for name, c := range map[string]struct {
		looks int // beside that at the beginning
		run   func(watch *beside.Watch)
	}{
		"drops":  {1, func(w *beside.Watch) { l.watch = w; require.NoError(t, l.dropOffs()) }},
		"pieces": {1, func(w *beside.Watch) { cellsIn{n, n, func(int) bool { return false }, w}.pieces(nil) }},
		"in":     {1, func(w *beside.Watch) { cellsIn{n, n, func(int) bool { return true }, w}.pieces(func(piece) {}) }},
		"rims": {1, func(w *beside.Watch) {
			cellsIn{n, n, func(int) bool { return true }, w}.rim(piece{{From: 0, To: n * n}}, nil)
		}},
		"staging": {1, func(w *beside.Watch) {
			l.watch = w
			l.work.Drive = make([]bool, n*n)
			l.work.Drive[n*n-1] = true
			l.offM([]int{0}, w)
		}},
		"acres": {1, func(w *beside.Watch) {
			acresByBand(l.w.Masks, n, n, l.m.Fleet, []zoning.LotMap{l.mapped(t, 0, 0, n, n)}, []error{nil}, w)
		}},
		"source": {2, func(w *beside.Watch) {
			eachCell(l.Elevation, []zoning.LotMap{l.mapped(t, 0, 0, n, n)}, []error{nil}, w, func(int, float64) {})
		}},
	} {
		ctx := &looks{context.Background(), 0, 1000}
		c.run(beside.NewWatch(ctx))
		assert.Equal(t, 1+c.looks, ctx.n, name)
	}
	whole, err := tell(1000)
	require.NoError(t, err)
	assert.Greater(t, whole.n, 4)
	for k := range whole.n {
		ctx, err := tell(k)
		require.ErrorIs(t, err, context.Canceled)
		assert.Equal(t, k+1, ctx.n, "nothing is begun after it")
	}
}
