//go:build cgo

package mapping_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
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
