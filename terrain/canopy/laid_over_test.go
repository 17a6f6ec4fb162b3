package canopy

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// degrees is a frame whose columns and rows go by given degrees east and north, from a place.
func degrees(t *testing.T, at, perCol, perRow [2]float64) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(16, -100, -100, 200, 200, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{at[0] + c[0]*perCol[0] + c[1]*perRow[0], at[1] + c[0]*perCol[1] + c[1]*perRow[1]}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// The middles of a row lie in another grid where their longitude and latitude do, each once, on
// frames turned against each other; on one frame they are as many cells off as the windows are.
func TestMiddlesOfARowInAnotherGrid(t *testing.T) {
	from, to := gridOf(t, 40, 6, 1, func(c, r int) float64 { return 100 }), gridOf(t, 30, 20, 1, func(c, r int) float64 { return 100 })
	from.Col0, from.Row0, to.Col0, to.Row0 = 7, 5, -3, 11
	from.Frame = degrees(t, [2]float64{12, 60}, [2]float64{0.001, 0}, [2]float64{0, -0.001})
	to.Frame = degrees(t, [2]float64{11.99, 60.01}, [2]float64{0.0012, -0.0002}, [2]float64{0.0003, -0.0009})
	for _, row := range []int{0, 5} {
		next := 0
		alongRow(from, to, false, row, func(col int, x, y float64) {
			require.Equal(t, next, col)
			next++
			lon, lat := from.Frame.LonLat(float64(7+col)+0.5, float64(5+row)+0.5)
			gotLon, gotLat := to.Frame.LonLat(x-3, y+11)
			assert.InDelta(t, lon, gotLon, 1e-8)
			assert.InDelta(t, lat, gotLat, 1e-8)
		})
		assert.Equal(t, 40, next)
		to.Frame = from.Frame
		alongRow(from, to, true, row, func(col int, x, y float64) {
			assert.Equal(t, [2]float64{float64(col) + 10.5, float64(row) - 5.5}, [2]float64{x, y})
		})
		to.Frame = degrees(t, [2]float64{11.99, 60.01}, [2]float64{0.0012, -0.0002}, [2]float64{0.0003, -0.0009})
	}
}

// Heights are told apart whatever the grids count them from.
func TestExcessOfGridsThatCountFromElsewhere(t *testing.T) {
	ground, surface := gridOf(t, 9, 8, 1, func(c, r int) float64 { return 100 + float64(c) }), gridOf(t, 9, 8, 1, func(c, r int) float64 { return 103 + 2*float64(c) + float64(r) })
	for i := range surface.Z {
		surface.Z[i] += 25
	}
	surface.Z0 -= 25
	surface.Frame = ground.Frame
	o := newOverlay(ground, surface)
	require.Equal(t, CellByCell, o.laying)
	for _, at := range [][2]int{{0, 0}, {4, 3}, {7, 6}} {
		assert.InDelta(t, 3+float64(at[0]+at[1]), o.excess(at[0], at[1], 0, 0), 1e-5)
	}
	assert.InDelta(t, 3+4+3+2*0.5-0.25, o.excess(4, 3, 0.5, -0.25), 1e-5, "moved back by half a column and a quarter of a row")
	out := o.excesses()
	assert.InDelta(t, 3+7+6, out[6*9+7], 1e-5)
}

// Shares are of all cells, of one too, and of none they are none.
func TestSharesOfSunkCells(t *testing.T) {
	for _, c := range []struct {
		all         []sample
		sunk, risen float64
	}{
		{nil, 0, 0}, {samplesOf(1, 0, -3), 1, 0}, {samplesOf(1, 0, 3), 0, 1},
		{append(samplesOf(1, 0, 2.01), append(samplesOf(2, 0, -2.01), samplesOf(5, 0, -1.99)...)...), 0.25, 0.125},
	} {
		var r GrowthReport
		r.findSunk(c.all)
		assert.Equal(t, [2]float64{c.sunk, c.risen}, [2]float64{r.Sunk, r.Risen}, "%d cells", len(c.all))
	}
}

// On which side of the ground a surface lies is told in the reader's units.
func TestTheSideOfTheGroundInUnits(t *testing.T) {
	for offsetM, want := range map[float64][2]string{
		-0.6096: {"0.61 m (2.0 ft) below", "0.61 m below"},
		0.3048:  {"0.30 m (1.0 ft) above", "0.30 m above"},
	} {
		assert.Equal(t, want, [2]string{sideIn(measure.US, offsetM), sideIn(measure.Metric, offsetM)})
		assert.Equal(t, want[0], side(offsetM))
	}
}

// Between the middles of coarser cells a plane is itself: five meters over the ground it is so on
// every cell.
func TestAPlaneBetweenCoarserCells(t *testing.T) {
	plane := func(x, y float64) float64 { return 100 + 0.25*x + 0.5*y }
	ground := gridOf(t, 30, 24, 1, func(c, r int) float64 { return plane(float64(c)+0.5, float64(r)+0.5) })
	surface := gridOf(t, 10, 8, 3, func(c, r int) float64 { return 5 + plane(3*float64(c)+1.5, 3*float64(r)+1.5) })
	ground.Frame = degrees(t, [2]float64{12, 0}, [2]float64{1e-5, 0}, [2]float64{0, -1e-5})
	surface.Frame = degrees(t, [2]float64{12, 0}, [2]float64{3e-5, 0}, [2]float64{0, -3e-5})
	o := newOverlay(ground, surface)
	require.Equal(t, Between, o.laying)
	out := o.excesses()
	for r := 2; r < 22; r++ {
		for c := 2; c < 28; c++ {
			assert.InDelta(t, 5, out[r*30+c], 1e-3, "column %d, row %d", c, r)
		}
	}
}
