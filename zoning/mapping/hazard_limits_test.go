package mapping

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// bend gives a teller's ground a frame whose cells grow along its rows and down its columns,
// and a window that begins at column 7, row 11 of it.
func (t *teller) bend(tt *testing.T) {
	tt.Helper()
	grid := t.Elevation.Grid
	frame, err := terrain.NewFrame(1, 0, 0, 40+grid.Cols, 40+grid.Rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{1e-5 * (c[0] + 0.01*c[0]*c[0]), 10 - 1e-5*(c[1]+0.01*c[1]*c[1])}
		}
		return out, nil
	})
	require.NoError(tt, err)
	grid.Frame, grid.Col0, grid.Row0 = frame, 7, 11
	t.m.Cells.Frame, t.m.Cells.Col0, t.m.Cells.Row0 = frame, 7, 11
}

// The error of slopes is by the metric in the middle of the ground.
func TestErrorOfSlopesByTheMiddleOfTheGround(t *testing.T) {
	l := tellerOn(t, 40, 30)
	l.bend(t)
	grid, noise := l.Elevation.Grid, slope.AssumedNoise(1)
	assert.Equal(t, noise.Covariance(slope.HornKernel(), grid.Frame.MetricAt(7+20, 11+15)), covariance(noise, scaled{}, grid))
}

// Steep ground is measured by the cells in the middle of the window: from a twentieth of
// an acre, 202.34 m², on.
func TestSteepGroundByTheMiddleOfTheGround(t *testing.T) {
	l := tellerOn(t, 40, 30)
	l.bend(t)
	enough := int(202.3428/l.Elevation.Grid.Frame.MetricAt(7+20, 11+15).CellAreaM2()) + 1
	for n, told := range map[int]bool{enough: true, enough - 1: false} {
		l := tellerOn(t, 40, 30)
		l.bend(t)
		for i := range l.Elevation.Grid.Z {
			l.Elevation.Grid.Z[i] = 1
		}
		l.block(10, 10, 10, n, func(i int) { l.m.Field.Squared[i], l.w.Masks[i], l.Elevation.Grid.Z[i] = 0.3, 0, 2 })
		l.steep(l.dry())
		assert.Equal(t, told, len(l.m.Hazards) == 1, "%d cells", n)
	}
}

// The ring around the window has a corner every 32 cells: of a side of 64 two, of 32 one.
func TestTheRingHasACornerEvery32Cells(t *testing.T) {
	assert.Len(t, tellerOn(t, 65, 33).windowRing()[0], 2*2+2*1+1)
	assert.Len(t, tellerOn(t, 66, 34).windowRing()[0], 2*3+2*2+1)
	ring := tellerOn(t, 65, 33).windowRing()
	assert.InDelta(t, 64*32*squareM, coverage.Acres(orb.MultiPolygon{ring}), 1e-5)
}

// Stagings are listed, and no other feature is.
func TestStagingsAloneAreListed(t *testing.T) {
	l := tellerOn(t, 30, 30)
	l.Features = []site.Feature{
		{Kind: site.NoGo, Geometry: l.place(3, 3)},
		{Kind: site.Staging, Geometry: l.place(20, 8)},
		{Kind: site.Building, Name: "Barn", Geometry: l.place(10, 10)},
	}
	l.w.Masks = make([]zoning.Mask, 900)
	require.NoError(t, l.Ground.tell(l.m, l.w, nil, rims{}, strips{}, nil))
	assert.Equal(t, []orb.Point{l.place(20, 8)}, l.m.Access.Staging)
}

// A short drop of exactly 6 ft is told of, and one of three cells whatever it falls.
func TestAShortDropOfSixFeetIsTold(t *testing.T) {
	for drop, told := range map[float64]int{6 * 0.3048: 1, 6*0.3048 - 1e-9: 0} {
		l := tellerOn(t, 30, 30)
		l.rims.drops = []trafficability.Edge{{Cell: 95, DropM: drop}, {Cell: 96, DropM: drop}}
		require.NoError(t, l.dropOffs())
		assert.Len(t, l.m.Hazards, told, "%g m", drop)
	}
}

// Edges are strung together until nobody waits: each cell asks 48 others, twice.
func TestEdgesAreStrungWhileSomebodyWaits(t *testing.T) {
	var cells []int
	for i := range 700 {
		cells = append(cells, 10*i)
	}
	ctx := &looks{context.Background(), 0, 1000}
	assert.Len(t, chains(cells, 7000, beside.NewWatch(ctx)), 700)
	assert.Equal(t, 2, ctx.n, "67,200 asked, a look in 65,536 and one at the beginning")
}

// The width of a leave tree's setback is told where one is given.
func TestALeaveTreesOwnSetbackIsTold(t *testing.T) {
	l := tellerOn(t, 60, 3)
	l.Features = []site.Feature{{Kind: site.LeaveTree, Name: "Oak", Geometry: l.place(30.5, 1.5), Setback: site.Setback{WidthM: 6.096}}}
	assert.Equal(t, "within the setback of Oak (leave-tree), 20 ft", l.keptFrom(measure.US, 60+34, zoning.Machine{}))
}

// Of a lot that reaches beyond the ground that was read its cells on it are visited, each
// once, and no other.
func TestCellsBeyondTheGroundAreNotVisited(t *testing.T) {
	l := tellerOn(t, 10, 10)
	for name, c := range map[string]struct {
		box                [4]float64
		col0, row0, c1, r1 int
	}{
		"north": {[4]float64{3, -2, 6, 4}, 3, 0, 6, 4},
		"south": {[4]float64{3, 7, 6, 12}, 3, 7, 6, 10},
		"west":  {[4]float64{-2, 3, 4, 6}, 0, 3, 4, 6},
		"east":  {[4]float64{7, 3, 12, 6}, 7, 3, 10, 6},
	} {
		want := map[int]int{}
		for r := c.row0; r < c.r1; r++ {
			for col := c.col0; col < c.c1; col++ {
				want[r*10+col] = 1
			}
		}
		got := map[int]int{}
		eachCell(l.Elevation, []zoning.LotMap{l.mapped(t, c.box[0], c.box[1], c.box[2], c.box[3])}, []error{nil}, nil, func(cell int, acres float64) {
			if acres > 1e-9 {
				got[cell]++
			}
		})
		assert.Equal(t, want, got, name)
	}
}

// Longitudes that run on across the antimeridian are told from -180 to 180.
func TestPlacesAcrossTheAntimeridian(t *testing.T) {
	for _, sign := range []float64{1, -1} {
		l := tellerOn(t, 8, 8)
		frame, err := terrain.NewFrame(1, 0, 0, 8, 8, func(cells [][2]float64) (out [][2]float64, err error) {
			for _, c := range cells {
				out = append(out, [2]float64{sign*180 + (c[0]-4)/1e4, 10 - c[1]/1e4})
			}
			return out, nil
		})
		require.NoError(t, err)
		l.Elevation.Grid.Frame = frame
		assert.InDelta(t, -179.9998, l.place(6, 1)[0], 1e-8)
		assert.InDelta(t, 179.9998, l.place(2, 1)[0], 1e-8)
	}
}

// Ground that is a hollow to its last cell is told of too.
func TestAHollowFromEdgeToEdgeIsTold(t *testing.T) {
	l := tellerOn(t, 6, 5)
	d := l.dry()
	d.InHollow = runs.Of(6, 5, func(int) bool { return true })
	l.steep(d)
	require.Len(t, l.m.Hazards, 1)
	assert.Equal(t, zoning.Depression, l.m.Hazards[0].Kind)
}
