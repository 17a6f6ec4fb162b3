package mapping

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// tallWindow is a teller of 9 columns × 4000 rows of 30 m of Web Mercator about 45° N, a
// window that begins at column 50, row 20 of its raster: cells grow by a hundredth and more
// from north to south.
func tallWindow(t *testing.T, fleet ...zoning.Machine) *teller {
	t.Helper()
	const cols, rows, cellM, earthM = 9, 4000, 30.0, 6378137.0
	l := tellerOn(t, cols, rows, fleet...)
	mercator := func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{c[0] * cellM / earthM * 180 / math.Pi, math.Atan(math.Sinh((5621521-c[1]*cellM)/earthM)) * 180 / math.Pi}
		}
		return out, nil
	}
	frame, err := terrain.NewFrame(16, 50, 20, 50+cols, 20+rows, mercator)
	require.NoError(t, err)
	grid := l.Elevation.Grid
	grid.Frame, grid.Col0, grid.Row0 = frame, 50, 20
	l.m.Cells.Frame, l.m.Cells.Col0, l.m.Cells.Row0 = frame, 50, 20
	return l
}

// Acres near people are measured where they lie, not where the window begins. By hand, on
// the ellipsoid of WGS84: 30 m of Web Mercator are 30·cos(lat)·ν/a by 30·cos(lat)·ρ/a meters.
func TestAcresNearAFeatureByItsOwnCells(t *testing.T) {
	for _, row := range []float64{300, 3500} {
		l := tallWindow(t)
		at := l.place(50+4.5, 20+row+0.5)
		sin, cos := math.Sincos(at[1] * math.Pi / 180)
		const e2 = 0.00669437999014
		w2 := 1 - e2*sin*sin
		east, north := 30*cos/math.Sqrt(w2), 30*cos*(1-e2)/math.Pow(w2, 1.5)
		var cells float64
		for c := -4.0; c <= 4; c++ {
			for r := -20.0; r <= 20; r++ {
				if math.Hypot(c*east, r*north) <= 91.44 {
					cells++
				}
			}
		}
		words, err := l.nearby(site.Feature{Kind: site.Building, Geometry: at}, func(zoning.Machine) float64 { return 91.44 })
		require.NoError(t, err)
		var acres float64
		_, err = fmt.Sscanf(words, "%f acres", &acres)
		require.NoError(t, err)
		assert.InDelta(t, cells*east*north/4046.8564224, acres, 0.006, "row %g", row)
	}
}

// The outline goes round the cells that were read, from corner to corner of the window.
func TestOutlineGoesRoundTheWindow(t *testing.T) {
	l := tallWindow(t)
	ring := l.Outline()[0]
	require.Len(t, ring, 4*16+1)
	assert.Equal(t, ring[0], ring[64])
	for k, corner := range [][2]float64{{50, 20}, {50, 4020}, {59, 4020}, {59, 20}} {
		want := l.place(corner[0], corner[1])
		assert.InDelta(t, want[0], ring[16*k][0], 1e-8, "corner %d", k)
		assert.InDelta(t, want[1], ring[16*k][1], 1e-8, "corner %d", k)
	}
	for i, p := range ring[:16] { // down the west side
		want := l.place(50, 20+250*float64(i))
		assert.InDelta(t, want[1], p[1], 1e-7)
	}
}

// Drainage lines of a window within its raster are told where the cells under them are
// driven on.
func TestWaterLinesOfAWindow(t *testing.T) {
	for _, onto := range [][2]int{{3, 7}, {4, 7}} {
		l := tallWindow(t)
		l.work.Drive = make([]bool, 9*4000)
		l.work.Drive[onto[1]*9+onto[0]] = true
		d := l.dry()
		d.Lines = []flow.Line{{Path: [][2]float64{{53.5, 25.5}, {53.5, 27.5}, {53.5, 29.5}}, MouthM2: 9000}}
		l.waterLines(d)
		assert.Len(t, l.m.Hazards, 4-onto[0], "column 53, row 27 of the raster are 3, 7 of the window")
	}
}

// A staging is as level as its gentlest cell, and as far off as its middle lies from the
// nearest ground to be driven on.
func TestStagingIsJudgedByItsGentlestCell(t *testing.T) {
	l := tellerOn(t, 40, 60)
	l.m.Access.Staging, l.w.Idle = []orb.Point{{}}, [][]int{{}}
	place := []int{10*40 + 5, 10*40 + 6, 10*40 + 7}
	l.work.Staging = [][]int{place}
	for i, pct := range []float64{3, 40, 30} {
		l.m.Field.Squared[place[i]] = float32(pct * pct / 1e4)
	}
	l.access()
	assert.Empty(t, l.m.Warnings)
	l.m.Field.Squared[place[0]] = 0.01
	l.access()
	require.Len(t, l.m.Warnings, 1)
	assert.Contains(t, l.m.Warnings[0], "is not level: 10% at best, where a trailer wants 5% or less")

	l.work.Drive = make([]bool, 40*60)
	l.work.Drive[40*40+14], l.work.Drive[50*40+6] = true, true
	assert.InDelta(t, math.Hypot(8, 30), l.offM(place, nil), 0.2, "from the middle, column 6, row 10")
	l.work.Drive[place[2]] = true
	assert.Zero(t, l.offM(place, nil))
}

// An edge goes on to the nearest cell, in whichever direction.
func TestEdgesGoOnToTheNearest(t *testing.T) {
	const cols = 50
	assert.Equal(t, [][]int{{0, 1, 3 * cols}}, sorted(chains([]int{0, 1, 3 * cols}, cols, nil)))
	assert.Equal(t, [][]int{{0, cols, 3}}, chainsFrom0(chains([]int{0, 3, cols}, cols, nil)))
	assert.Equal(t, [][]int{{0, cols + 1, 3}}, chainsFrom0(chains([]int{0, 3, cols + 1}, cols, nil)))
}

// chainsFrom0 turns each line so that it begins at cell 0.
func chainsFrom0(lines [][]int) [][]int {
	for _, l := range lines {
		if l[len(l)-1] == 0 {
			for i, j := 0, len(l)-1; i < j; i, j = i+1, j-1 {
				l[i], l[j] = l[j], l[i]
			}
		}
	}
	return lines
}

// Ground too steep though below the limit, for a machine without a tether, is told without
// one.
func TestTooSteepWithoutATether(t *testing.T) {
	assert.Equal(t, "no: slope 50.0%, and it is held to 60% on dry ground", tooSteep(measure.US, zoning.Machine{LimitPct: 60}, 50, zoning.Dry))
}

// Elevation that is fine enough, and in which nothing is doubtful, has no warning at all.
func TestWorthOfSoundElevationHasNoWarning(t *testing.T) {
	const n = 80
	z := make([]float32, n*n)
	for i := range z {
		x, y := float64(i%n), float64(i/n)
		z[i] = float32(300 + 0.1*x + 0.07*y + math.Sin(x/9)*math.Cos(y/7) + 0.3*math.Sin(x/2.3+y/3.1))
	}
	grid, err := terrain.NewGrid(z, n, n, 1, 1)
	require.NoError(t, err)
	w, err := WorthOf(&terrain.Elevation{Grid: grid, Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}}, fleet.Default(), Options{})
	require.NoError(t, err)
	assert.NotContains(t, w.Warnings, "")
}

// A pocket, a tight spot and staging are told at their cell of the window.
func TestPlacesOfAWindow(t *testing.T) {
	l := tallWindow(t)
	l.w.Pinches = [][]trafficability.Pinch{{{Cell: 7*9 + 3, ClearM: 2, Acres: 1}}}
	l.pinches()
	at := l.m.Hazards[0].Geometry.(orb.Point)
	lon, lat := l.Elevation.Grid.Frame.LonLat(53.5, 27.5)
	assert.Less(t, geo.Distance(orb.Point{lon, lat}, at), 0.001)
	ring := l.windowRing()[0]
	for _, corner := range [][2]float64{{50.5, 20.5}, {58.5, 20.5}, {50.5, 4019.5}, {58.5, 4019.5}} {
		assert.Contains(t, ring, l.place(corner[0], corner[1]))
	}
}
