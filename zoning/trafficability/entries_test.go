package trafficability_test

import (
	"context"
	"math"
	"runtime"
	"sync/atomic"
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// job is rolling ground, and what the entries of the libraries below are given of it.
type job struct {
	grid   *terrain.Grid
	ground trafficability.Ground
	cells  zoning.Cells
	fleet  []zoning.Machine
	parcel zoning.Parcel
}

func newJob(t *testing.T, n int) *job {
	t.Helper()
	z := make([]float32, n*n)
	for i := range z {
		x, y := float64(i%n), float64(i/n)
		z[i] = float32(300 + 8*math.Sin(x/30)*math.Cos(y/25) + 2*math.Sin(x/7+y/9))
	}
	grid, err := terrain.NewGrid(z, n, n, 1, 1)
	require.NoError(t, err)
	field := slope.NewField(grid)
	field.AddAspect()
	require.NoError(t, slope.Rows(grid, 0, n, field))
	west, north := grid.Frame.LonLat(2, 2)
	east, south := grid.Frame.LonLat(float64(n-2), float64(n-2))
	return &job{
		grid: grid, ground: trafficability.Ground{Grid: grid, Field: field},
		cells: zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, n*n), Cols: n, Rows: n, Frame: grid.Frame}},
		fleet: []zoning.Machine{
			{Key: "a", LimitPct: 30, CrossPct: 15, WidthM: 2, FootprintM: 3},
			{Key: "b", LimitPct: 35, CrossPct: 15, Swing: zoning.Limits{AlongPct: 25, CrossPct: 10}, ReachM: 6, ReachUpPct: 100, ReachDownPct: 65, WidthM: 2.7, FootprintM: 3.6},
		},
		parcel: zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}}}},
	}
}

// Bad numbers and short slices looped, took all memory, or panicked in a goroutine that no
// caller can recover.
func TestWhatCannotBeUsedIsAnError(t *testing.T) {
	find := func(j *job) error { _, err := trafficability.Find(t.Context(), &j.ground, j.fleet); return err }
	stand := func(j *job) error { return trafficability.Stand(j.ground.Field, j.fleet, j.cells.Masks) }
	firm := func(j *job) error { return trafficability.Firm(j.ground.Field, j.fleet, j.cells.Masks) }
	lot := func(j *job) error {
		_, err := zoning.MapLot(&j.cells, j.ground.Field, j.fleet, nil, j.parcel)
		return err
	}
	of := func(j *job) error { _, err := slope.Of(j.grid); return err }
	rows := func(j *job) error { return slope.Rows(j.grid, 0, 20, j.ground.Field) }
	planes := func(j *job) error {
		return slope.Planes(j.grid, slope.Footprint{HalfCols: 1, HalfRows: 1}, 0.3, 0, 20, j.ground.Field)
	}
	drain := func(j *job) error { _, err := flow.Drain(t.Context(), j.grid, flow.Options{}); return err }
	drops := func(j *job) error { _, err := trafficability.DropOffs(t.Context(), j.grid, nil); return err }
	near := func(j *job) error { _, err := trafficability.Near(j.grid, j.ground.Lots, 3); return err }
	water := func(j *job) error { _, err := quality.Water(j.grid); return err }
	doubts := func(j *job) error { _, err := quality.Doubts(j.grid, true); return err }
	type entries []func(*job) error
	takeFleet, takeGrid := entries{find, stand, firm, lot}, entries{find, of, rows, planes, drain, drops, near, water, doubts}
	for _, c := range []struct {
		words string
		spoil func(*job)
		all   entries
	}{
		{"width of NaNm", func(j *job) { j.fleet[0].WidthM = math.NaN() }, takeFleet},
		{"width of 1e+09m", func(j *job) { j.fleet[0].WidthM = 1e9 }, takeFleet},
		{"footprint of NaNm", func(j *job) { j.fleet[1].FootprintM = math.NaN() }, takeFleet},
		{"reach of 1e+09m", func(j *job) { j.fleet[1].ReachM = 1e9 }, takeFleet},
		{"limit NaN%", func(j *job) { j.fleet[1].LimitPct = math.NaN() }, takeFleet},
		{"no machine", func(j *job) { j.fleet = nil }, takeFleet},
		{"there is no grid", func(j *job) { j.grid, j.ground.Grid = nil, nil }, takeGrid},
		{"399 heights do not fill", func(j *job) { j.grid.Z = j.grid.Z[:399] }, takeGrid},
		{"has no frame", func(j *job) { j.grid.Frame = nil }, takeGrid},
		{"has no frame", func(j *job) { j.grid.Frame = &terrain.Frame{} }, takeGrid},
		{"staging 1 lies on cell 400 of 400", func(j *job) { j.ground.Staging = [][]int{{400}} }, entries{find}},
		{"staging 2 lies on cell -1", func(j *job) { j.ground.Staging = [][]int{{3}, {-1}} }, entries{find}},
		{"an edge of NaN m", func(j *job) { j.ground.Edges = []trafficability.Edge{{Cell: 3, DropM: math.NaN()}} }, entries{find}},
		{"an edge of 2 m lies on cell 400", func(j *job) { j.ground.Edges = []trafficability.Edge{{Cell: 400, DropM: 2}} }, entries{find}},
		{"Closed has 5 values for 400 cells", func(j *job) { j.ground.Closed = make([]bool, 5) }, entries{find}},
		{"Lots has 0 values", func(j *job) { j.ground.Lots = []bool{} }, entries{find}},
		{"Drive has 401 values", func(j *job) { j.ground.Drive = make([]bool, 401) }, entries{find}},
		{"Firm has 1 values", func(j *job) { j.ground.Firm = make([]zoning.Mask, 1) }, entries{find}},
		{"GrowthM has 1 values", func(j *job) { j.ground.GrowthM = make([]float32, 1) }, entries{find}},
		{"LineM has 1 values", func(j *job) { j.ground.LineM = make([]float32, 1) }, entries{find}},
		{"of WaterLines there is a run from cell 19 to 21", func(j *job) { j.ground.WaterLines = []runs.Run{{From: 19, To: 21}} }, entries{find}},
		{"slopes", func(j *job) { j.ground.Field = nil }, entries{find, stand, firm, lot}},
		{"the field has no room", func(j *job) { j.ground.Field = nil }, entries{rows, planes}},
		{"of Squared there are 3 values", func(j *job) { j.ground.Field.Squared = j.ground.Field.Squared[:3] }, entries{stand, firm, lot, rows}},
		{"Aspect has 3 values", func(j *job) { j.ground.Field.Aspect = j.ground.Field.Aspect[:3] }, entries{stand, lot, rows}},
		{"no room for relief", func(*job) {}, entries{planes}},
		{"3 marks for 400 cells", func(j *job) { j.ground.Lots = make([]bool, 3) }, entries{near}},
		{"masks for", func(j *job) { j.cells.Masks = j.cells.Masks[:7] }, entries{stand, firm, lot}},
		{"of Lost there are, for machine 1", func(j *job) { j.cells.Lost = [][]zoning.Why{nil} }, entries{lot}},
		{"SimplifyM is NaN", func(j *job) { j.cells.SimplifyM = math.NaN() }, entries{lot}},
		{"nobody knows where they lie", func(j *job) { j.cells.Frame = nil }, entries{lot}},
	} {
		for i, entry := range c.all {
			j := newJob(t, 20)
			c.spoil(j)
			assert.NotPanics(t, func() { assert.ErrorContains(t, entry(j), c.words, "entry %d", i) }, c.words)
		}
	}
}

// Without lots the whole window is one, without aspect a slope may lie all across: nil says
// nothing, and panicked.
func TestNilSaysNothing(t *testing.T) {
	j := newJob(t, 40)
	bare := must(trafficability.Find(t.Context(), &j.ground, j.fleet))
	whole := j.ground
	whole.Lots = make([]bool, 1600)
	for i := range whole.Lots {
		whole.Lots[i] = true
	}
	whole.Drive = whole.Lots
	assert.Equal(t, must(trafficability.Find(t.Context(), &whole, j.fleet)), bare)
	assert.Nil(t, j.ground.Lots, "the ground is as it was")

	j.ground.Field.Aspect = nil
	blind := must(trafficability.Find(t.Context(), &j.ground, j.fleet))
	fewer := 0
	for i, mask := range blind.Masks {
		require.Zero(t, mask&^bare.Masks[i], "cell %d", i)
		if mask != bare.Masks[i] {
			fewer++
		}
		if s := j.ground.Field.Squared[i]; s >= 0.15*0.15 {
			require.Zero(t, mask&1, "machine a is held to 15%% across, cell %d", i)
		}
	}
	assert.Positive(t, fewer)
}

// looks is a context that counts how often it is looked at, and is done after some.
type looks struct {
	context.Context
	n, until atomic.Int64
}

func (l *looks) Err() error {
	if l.n.Add(1) > l.until.Load() {
		return context.Canceled
	}
	return nil
}

// A map that nobody waited for went on for most of a second, and left a goroutine: every
// stage looks at its context at least once in so many cells that it passes, and leaves
// nothing behind wherever it is ended.
func TestWorkEndsOnceNobodyWaits(t *testing.T) {
	const n = 300
	j := newJob(t, n)
	passes := map[string]struct {
		least int // times that the stage passes over all cells, at least
		run   func(ctx context.Context) error
	}{
		"look":      {2, func(ctx context.Context) error { _, err := quality.NewLook(ctx, j.grid); return err }},
		"drainage":  {5, func(ctx context.Context) error { _, err := flow.Drain(ctx, j.grid, flow.Options{}); return err }},
		"drop-offs": {1, func(ctx context.Context) error { _, err := trafficability.DropOffs(ctx, j.grid, nil); return err }},
		"work":      {2 * 10, func(ctx context.Context) error { _, err := trafficability.Find(ctx, &j.ground, j.fleet); return err }},
		"lot": {3, func(ctx context.Context) error {
			_, err := zoning.MapLotContext(ctx, &j.cells, j.ground.Field, j.fleet, nil, j.parcel)
			return err
		}},
	}
	for name, stage := range passes {
		t.Run(name, func(t *testing.T) {
			whole := &looks{Context: context.Background()}
			whole.until.Store(math.MaxInt64)
			require.NoError(t, stage.run(whole))
			all := whole.n.Load()
			assert.GreaterOrEqual(t, all, int64(stage.least*n*n/beside.Units))
			before := runtime.NumGoroutine()
			for k := range all {
				if k > 3 && k%7 != 0 {
					continue
				}
				ctx := &looks{Context: context.Background()}
				ctx.until.Store(k)
				require.ErrorIs(t, stage.run(ctx), context.Canceled, "ended at look %d of %d", k, all)
				assert.LessOrEqual(t, ctx.n.Load(), k+8, "others at work look once more each")
			}
			for range 1000 { // a goroutine that is done may not have left yet
				if runtime.NumGoroutine() <= before {
					break
				}
				time.Sleep(time.Millisecond)
			}
			assert.LessOrEqual(t, runtime.NumGoroutine(), before)
		})
	}
}
