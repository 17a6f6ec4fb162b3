package coverage

import (
	"math"
	"runtime"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// allocated is how many bytes a call takes in all, whether or not they are in use at once.
func allocated(call func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	call()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// flatCells are masks of a square of cells of 1 m.
func flatCells(t testing.TB, side int) (*terrain.Grid, *Window) {
	g, err := terrain.NewGrid(make([]float32, side*side), side, side, 1, 1)
	require.NoError(t, err)
	return g, &Window{Masks: make([]Mask, side*side), Cols: side, Rows: side, Frame: g.Frame}
}

func metre(g *terrain.Grid, col, row float64) orb.Point {
	lon, lat := g.Frame.LonLat(col, row)
	return orb.Point{lon, lat}
}

// comb is a lot of teeth, each as wide as the gap beside it.
func comb(g *terrain.Grid, teeth int, wide, tall float64) orb.MultiPolygon {
	ring := orb.Ring{metre(g, 0, 0)}
	for i := range teeth {
		x := 2 * wide * float64(i)
		ring = append(ring, metre(g, x, tall), metre(g, x+wide, tall), metre(g, x+wide, 1), metre(g, x+2*wide, 1))
	}
	ring = append(ring, metre(g, 2*wide*float64(teeth), 0), ring[0])
	return orb.MultiPolygon{{ring}}
}

// A corner that slipped to the equator made a window of all memory of a file of 106 bytes.
func TestACornerThatSlippedTakesNoMemory(t *testing.T) {
	g, cells := flatCells(t, 80)
	for name, far := range map[string]orb.Point{
		"a quarter round the earth": {0, 90}, "along the equator": {100, 0}, "nearer": {3, 2}, "beyond the elevation": {0.15, 0.15},
	} {
		p := orb.MultiPolygon{{{metre(g, 5, 5), metre(g, 60, 70), far, metre(g, 5, 5)}}}
		var err error
		took := allocated(func() { _, err = Cut(cells, p) })
		assert.Error(t, err, name)
		assert.Less(t, took, uint64(1<<20), name)
	}
}

// Teeth side by side pass through each cell many times: what a cut takes goes with how
// often edges pass through cells, which is counted first.
func TestACombIsCountedFirst(t *testing.T) {
	g, cells := flatCells(t, 4000)
	took := allocated(func() {
		_, err := Cut(cells, comb(g, 250, 0.05, 3990))
		assert.ErrorIs(t, err, ErrTooFine)
		assert.ErrorContains(t, err, "passes through more than 524288")
	})
	assert.Less(t, took, uint64(1<<20))
}

// The bound that Cut states holds for what is just below it.
func TestMemoryOfTheLongestBoundary(t *testing.T) {
	g, cells := flatCells(t, 1000)
	p := comb(g, 40, 6, 990)
	m := mesh{frame: g.Frame, unit: UnitsPerDegree}
	s := sides(p, cells, UnitsPerDegree)
	e, err := m.extentOf(s[0].rings)
	require.NoError(t, err)
	took := allocated(func() {
		_, err := Cut(cells, p)
		require.NoError(t, err)
	})
	window := (e.c1 - e.c0 + 5) * (e.r1 - e.r0 + 5)
	assert.Less(t, float64(took), 2*window+2500*e.passed)
}

// Corners that crowd in a few cells are held against each other, each against each.
func TestCornersThatCrowdInACell(t *testing.T) {
	g, cells := flatCells(t, 80)
	const corners = 20000
	ring := orb.Ring{}
	for i := range corners {
		a := 2 * math.Pi * float64(i) / corners
		r := 0.4
		if i%2 == 1 {
			r = 0.05
		}
		ring = append(ring, metre(g, 40.5+r*math.Cos(a), 40.5+r*math.Sin(a)))
	}
	ring = append(ring, ring[0])
	_, err := Cut(cells, orb.MultiPolygon{{ring}})
	assert.ErrorIs(t, err, ErrTooFine)
	assert.ErrorContains(t, err, "too many of its edges lie in one cell, around 0.000", "where to look")
}

// Small rings in the middles of cells were each held against all of the boundary.
func TestManyIslandsAreFound(t *testing.T) {
	g, cells := flatCells(t, 200)
	var ground orb.MultiPolygon
	for r := 1; r < 199; r++ {
		for c := 1; c < 199; c++ {
			x, y := float64(c), float64(r)
			ground = append(ground, orb.Polygon{{metre(g, x+0.3, y+0.3), metre(g, x+0.7, y+0.3), metre(g, x+0.5, y+0.7), metre(g, x+0.3, y+0.3)}})
		}
	}
	cov, err := Cut(cells, ground)
	require.NoError(t, err)
	assert.InEpsilon(t, 198*198*0.08, cov.M2(), 1e-3)
}
