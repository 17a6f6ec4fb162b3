//go:build cgo

package mapping_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// The lake of the real elevation is flat to the metre, as all of that raster is:
// it may be ground, so it is told and not closed.
func TestDoubtfulWaterIsToldAndNotClosed(t *testing.T) {
	g, m := survey(t, defaults(), twoLots[0])
	require.Len(t, g.Lots, 1)
	assert.Zero(t, acresOf(m, 0, zoning.NoGoKey))
}

// A pond on a slope, dead flat below its banks, is closed to machines, whichever
// limit it meets, until someone says that it is ground.
func TestFlatWaterIsNoGo(t *testing.T) {
	g, _ := survey(t, defaults(), twoLots[0])
	grid := *g.Elevation.Grid
	grid.Z = append([]float32(nil), grid.Z...)
	// Fractions, so that heights do not come in whole metres.
	for i := range grid.Z {
		grid.Z[i] += float32(i%97) * 0.013
	}
	low := grid.Z[0]
	for _, z := range grid.Z {
		low = min(low, z)
	}
	c0, r0 := grid.Cols/2-3, grid.Rows/2-3
	for r := r0; r < r0+6; r++ {
		for c := c0; c < c0+6; c++ {
			grid.Z[r*grid.Stride+c] = low - 8
		}
	}
	ponded := *g
	elevation := *g.Elevation
	elevation.Grid = &grid
	ponded.Elevation = &elevation
	m, err := mapping.Map(t.Context(), &ponded, defaults(), mapping.Options{})
	require.NoError(t, err)
	metric := grid.Frame.MetricAt(float64(grid.Col0+c0), float64(grid.Row0+r0))
	pond := 36 * metric.CellAreaM2() / terrain.SquareMetresPerAcre
	assert.InEpsilon(t, pond, acresOf(m, 0, zoning.NoGoKey), 1e-3)
	assert.Contains(t, m.Warnings[len(m.Warnings)-1]+m.Warnings[0]+m.Warnings[1], "water that the raster flattened")
	m, err = mapping.Map(t.Context(), &ponded, defaults(), mapping.Options{WaterIsGround: true})
	require.NoError(t, err)
	assert.Zero(t, acresOf(m, 0, zoning.NoGoKey))
}

// A pond with 1 mm of noise was loader ground without a word. It is no-go, until someone says that
// all such is ground, or draws that it is.
func TestCalmWaterIsNoGo(t *testing.T) {
	const side = 120
	rnd := rand.New(rand.NewPCG(2, 5))
	z := make([]float32, side*side)
	for i := range z {
		x, y := float64(i%side), float64(i/side)
		z[i] = float32(300 + 0.03*x + 0.02*y + 0.3*math.Sin(x/7)*math.Cos(y/9) + 0.02*rnd.NormFloat64())
		if math.Hypot(x-60, y-60) < 25 {
			z[i] = float32(301 + 0.001*rnd.NormFloat64())
		}
	}
	grid, err := terrain.NewGrid(z, side, side, 1, 1)
	require.NoError(t, err)
	around := func(half float64) orb.Polygon {
		var ring orb.Ring
		for _, c := range [][2]float64{{60 - half, 60 - half}, {60 - half, 60 + half}, {60 + half, 60 + half}, {60 + half, 60 - half}, {60 - half, 60 - half}} {
			lon, lat := grid.Frame.LonLat(c[0], c[1])
			ring = append(ring, orb.Point{lon, lat})
		}
		return orb.Polygon{ring}
	}
	noGo := func(o mapping.Options, features ...site.Feature) float64 {
		e := &terrain.Elevation{Grid: grid, Sources: []terrain.Source{{Path: "made", CellM: [2]float64{1, 1}, Unit: "m", UnitFrom: "given"}}}
		g, err := mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "pond", Ground: orb.MultiPolygon{around(50)}}}}, features)
		require.NoError(t, err)
		m, err := mapping.Map(t.Context(), g, defaults(), o)
		require.NoError(t, err)
		return acresOf(m, 0, zoning.NoGoKey)
	}
	pond := math.Pi * 25 * 25 / terrain.SquareMetresPerAcre
	assert.InEpsilon(t, pond, noGo(mapping.Options{}), 0.04)
	assert.InEpsilon(t, pond, noGo(mapping.Options{SlopeOnly: true}), 0.04)
	assert.Zero(t, noGo(mapping.Options{WaterIsGround: true}))
	assert.Zero(t, noGo(mapping.Options{}, site.Feature{Kind: site.DryGround, Place: 1, Geometry: around(30)}))
	half := noGo(mapping.Options{}, site.Feature{Kind: site.DryGround, Place: 1, Geometry: around(10)})
	assert.InDelta(t, pond-400/terrain.SquareMetresPerAcre, half, 0.02, "only where it is drawn")
}
