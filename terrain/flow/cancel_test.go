package flow

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

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

// Every pass over the cells looks whether somebody waits, and none goes on once nobody does.
func TestEachPassEndsOnceNobodyWaits(t *testing.T) {
	const n = 300 // 90,000 cells, a pit in each nine: a look a pass and more
	g := noise(t, 3, n, n, 0, 0)
	r := newRouting(g, nil, nil)
	during := func(name string, pass func()) {
		ctx := &looks{context.Background(), 0, 1000}
		r.watch = beside.NewWatch(ctx)
		pass()
		assert.Greater(t, ctx.n, 1, name)
	}
	var low []int32
	during("descend", func() { low = r.descend() })
	during("settle", func() { r.settle(low) })
	during("label", func() { r.label(low) })
	var passes []pass
	during("passes", func() { passes = r.passes() })
	during("lowest", func() { passes = r.lowest(passes) })
	var level []float32
	during("flood", func() { level = r.flood(passes) })
	o := Options{LineM2: 1000, HollowDepthM: 0.3, HollowM2: 9}
	during("hollows", func() { r.hollows(level, o) })
	var upslope []int32
	during("gather", func() { upslope = r.gather() })
	var wet []bool
	during("channels", func() { wet = r.channels(upslope, o) })
	during("lines", func() { r.lines(upslope, wet) })

	whole := &looks{context.Background(), 0, 1000}
	_, err := Drain(whole, g, Options{})
	require.NoError(t, err)
	for k := 0; k < whole.n; k += 4 {
		ctx := &looks{context.Background(), 0, k}
		d, err := Drain(ctx, g, Options{})
		require.ErrorIs(t, err, context.Canceled)
		assert.Nil(t, d)
		assert.Equal(t, k+1, ctx.n, "nothing is begun after it")
	}
}

// A wide flat that is spread over looks too.
func TestAFlatEndsOnceNobodyWaits(t *testing.T) {
	const n = 200
	g := gridOf(t, n, n, 1, 1, func(c, r int) float64 { return over(c == 0 || r == 0 || c == n-1 || r == n-1) })
	r := newRouting(g, nil, nil)
	low := r.descend()
	r.settle(low)
	ctx := &looks{context.Background(), 0, 1000}
	r.watch = beside.NewWatch(ctx)
	r.label(low)
	assert.Greater(t, ctx.n, 1+n*n*8/beside.Units-1)
	r.dir[n+1] = uint8(out)
	ctx = &looks{context.Background(), 0, 1000}
	r.watch = beside.NewWatch(ctx)
	r.spread([]int32{n + 1})
	assert.Greater(t, ctx.n, 2)
}

func over(yes bool) float64 {
	if yes {
		return 9
	}
	return 0
}

// Passes are ordered by height, then by their feet, then as they come in reading order.
func TestTheOrderOfPasses(t *testing.T) {
	ordered := []pass{
		{cell: 9, way: 3, z: 1, foot: 9}, {cell: 9, way: 3, z: 2, foot: 0}, {cell: 4, way: 5, z: 2, foot: 1},
		{cell: 5, way: 1, z: 2, foot: 1}, {cell: 5, way: 2, z: 2, foot: 1}, {cell: 5, way: out, z: 2, foot: 1}, {cell: 1, way: 0, z: 3, foot: 0},
	}
	for i, p := range ordered {
		for j, q := range ordered {
			assert.Equal(t, i < j, p.lower(q), "%+v, %+v", p, q)
		}
	}
	nan := noise(t, 1, 1, 1, 1, 0).Z[0]
	assert.Equal(t, pass{7, 2, 5, 3}, newPass(7, 2, 5, 3))
	assert.Equal(t, pass{7, 2, 5, 3}, newPass(7, 2, 3, 5))
	for _, p := range []pass{newPass(7, 2, 5, nan), newPass(7, 2, nan, 5)} {
		assert.Equal(t, float32(5), p.z)
		assert.Less(t, p.foot, float32(-1e30), "a void is lower than all ground")
	}
}

// A way through a corner sees neither of the cells beside it, whichever way it goes; any
// other way sees those that it goes through.
func TestAWayThroughACornerSeesNoneBeside(t *testing.T) {
	const n = 9
	rnd := rand.New(rand.NewPCG(4, 4))
	d := &Drainage{Cols: n, Rows: n}
	for _, way := range [][2]int{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		var seen []int
		at := 4*n + 4
		d.between(at, at+4*way[0]+4*way[1]*n, func(cell int) { seen = append(seen, cell) })
		var want []int
		for k := 1; k < 4; k++ {
			want = append(want, at+k*way[0]+k*way[1]*n)
		}
		assert.Equal(t, want, seen, way)
	}
	for range 50 { // three to one: through corners at thirds of the way, and no cell twice
		from, to := rnd.IntN(n*n), rnd.IntN(n*n)
		seen := map[int]int{}
		d.between(from, to, func(cell int) { seen[cell]++ })
		for r := range n {
			for c := range n {
				i := r*n + c
				if i != from && i != to {
					assert.Equal(t, crossed(n, from, to, c, r), seen[i], "%d to %d, %d", from, to, i)
				}
			}
		}
	}
}

// crossed is 1 where the line between the middles of two cells goes through the inside of a
// third: where not all four corners lie on one side, nor all of it before or behind.
func crossed(n, from, to, col, row int) int {
	x0, y0, x1, y1 := 2*(from%n)+1, 2*(from/n)+1, 2*(to%n)+1, 2*(to/n)+1
	low, high := false, false
	for _, k := range [][2]int{{0, 0}, {2, 0}, {0, 2}, {2, 2}} {
		side := (x1-x0)*(2*row+k[1]-y0) - (y1-y0)*(2*col+k[0]-x0)
		low, high = low || side < 0, high || side > 0
	}
	if low && high && 2*col < max(x0, x1) && 2*col+2 > min(x0, x1) && 2*row < max(y0, y1) && 2*row+2 > min(y0, y1) {
		return 1
	}
	return 0
}
