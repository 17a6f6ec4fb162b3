package mapping

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/site"
)

// The error of slopes is that of the footprint's own plane, longer one way than the other.
func TestErrorOfAFootprintsPlane(t *testing.T) {
	l := tellerOn(t, 20, 20)
	grid, noise := l.Elevation.Grid, slope.AssumedNoise(1)
	got := covariance(noise, scaled{footprint: &slope.Footprint{HalfCols: 3, HalfRows: 1}}, grid)
	assert.Equal(t, noise.Covariance(slope.PlaneKernel(3, 1), grid.Frame.MetricAt(10, 10)), got)
	assert.NotEqual(t, noise.Covariance(slope.PlaneKernel(1, 3), grid.Frame.MetricAt(10, 10)), got)
}

// Places are told to nine decimals, their longitudes from -180 to 180.
func TestPlacesAreToldInNineDecimals(t *testing.T) {
	l := tellerOn(t, 8, 8)
	frame, err := terrain.NewFrame(4, 0, 0, 8, 8, func(cells [][2]float64) (out [][2]float64, err error) {
		for _, c := range cells {
			out = append(out, [2]float64{190 + c[0]/3e4, 10 - c[1]/3e4})
		}
		return out, nil
	})
	require.NoError(t, err)
	l.Elevation.Grid.Frame = frame
	p := l.place(1, 1)
	assert.Equal(t, orb.Point{-169.999966667, 9.999966667}, p)
}

// Steep ground is told from a twentieth of an acre on, whatever the size of its cells: 51 of
// 4 m² are 204 m², a twentieth is 202.3 m².
func TestSteepGroundIsMeasuredByItsCells(t *testing.T) {
	for n, told := range map[int]int{50: 0, 51: 1} {
		l := tellerOn(t, 60, 40)
		grid, err := terrain.NewGrid(make([]float32, 60*40), 60, 40, 2, 2)
		require.NoError(t, err)
		l.Elevation.Grid, l.m.Cells.Frame = grid, grid.Frame
		for i := range grid.Z {
			grid.Z[i] = 1
		}
		l.block(10, 10, 10, n, func(i int) { l.m.Field.Squared[i], l.w.Masks[i], grid.Z[i] = 0.3, 0, 2 })
		l.steep(l.dry())
		assert.Len(t, l.m.Hazards, told, "%d cells", n)
	}
}

// A spot of a window within its raster is that cell's, and closed or kept from ground is told
// with what closes it; a feature that cannot be laid closes nothing.
func TestWhyOfASpotInAWindow(t *testing.T) {
	l := tallWindow(t)
	l.m.Cells.Lost = [][]zoning.Why{make([]zoning.Why, 9*4000)}
	i := 7*9 + 3
	l.m.Cells.Lost[0][i] = zoning.TooSoft
	words, err := l.Why(l.m, l.place(53.5, 27.5))
	require.NoError(t, err)
	assert.Contains(t, words[1], "no: the ground bears")
	for c := 50.0; c < 59; c++ {
		_, err := l.Why(l.m, l.place(c+0.5, 27.5))
		assert.NoError(t, err)
	}

	flat := tellerOn(t, 60, 3)
	flat.Features = []site.Feature{{Kind: site.NoGo}, {Kind: site.Building, Name: "Barn", Geometry: flat.place(20.5, 1.5), Setback: site.Setback{WidthM: 6.096}}}
	assert.Equal(t, "no: closed: Barn (building)", flat.whyNot(flat.m, flat.m.Fleet[0], zoning.Closed, 60+20, 0))
	assert.Equal(t, "no: within the setback of Barn (building), 20 ft", flat.whyNot(flat.m, flat.m.Fleet[0], zoning.InSetback, 60+24, 0))
}

// With staging the map says that ways were checked, and what is wrong with where it lies.
func TestAMapWithStagingChecksItsWays(t *testing.T) {
	const n = 60
	z := make([]float32, n*n)
	for i := range z {
		z[i] = 300 + 0.2*float32(i%n) + 0.1*float32(math.Sin(float64(i/n)))
	}
	grid, err := terrain.NewGrid(z, n, n, 1, 1)
	require.NoError(t, err)
	at := func(c, r float64) orb.Point {
		lon, lat := grid.Frame.LonLat(c, r)
		return orb.Point{lon, lat}
	}
	lot := zoning.Lot{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{{at(5, 55), at(55, 55), at(55, 5), at(5, 5), at(5, 55)}}}}}
	e := &terrain.Elevation{Grid: grid, Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}}
	for _, staged := range []bool{false, true} {
		var features []site.Feature
		if staged {
			features = []site.Feature{{Kind: site.Staging, Geometry: at(30, 30)}}
		}
		g, err := NewGround(e, []zoning.Lot{lot}, features)
		require.NoError(t, err)
		m, err := Map(t.Context(), g, fleet.Default(), Options{})
		require.NoError(t, err)
		assert.Equal(t, staged, m.Access.Checked)
		assert.Len(t, m.Access.Staging, len(features))
	}
}

// Of a fleet that the elevation was not judged for, no machine is told.
func TestSureWordsOfMoreMachinesThanJudged(t *testing.T) {
	machines := []zoning.Machine{{Name: "Loader", LimitPct: 30}, {Name: "Crawler", LimitPct: 60}}
	assert.Len(t, Worth{SurePct: []float64{20}}.SureWords(machines), 2, "one machine, and the certainty")
	assert.Len(t, Worth{SurePct: []float64{20, 40, 50}}.SureWords(machines), 3)
}
