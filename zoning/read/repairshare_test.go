package read

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Half of a bow-tie was told as "changed 0.00", and nobody could allow more or less than 1%.
func TestHowMuchARepairMayChange(t *testing.T) {
	tie := write(t, "lot.geojson", featureCollection(polygon(unit("0 0, 1 1, 1 0, 0 1, 0 0")...)))
	lot := readOne(t, tie, Options{})
	assert.True(t, lot.Repair.Refused)
	assert.False(t, lot.Repair.Done)
	assert.InDelta(t, 50, lot.Repair.ChangedPct, 1e-6)
	lot = readOne(t, tie, Options{Repair: 0.499})
	assert.ErrorContains(t, lot.Err, "more than 49.9% is not ours to decide")
	lot = readOne(t, tie, Options{Repair: MostRepair})
	require.NoError(t, lot.Err)
	assert.True(t, lot.Repair.Done)
	assert.InDelta(t, 50, lot.Repair.ChangedPct, 1e-6)

	// The pocket of 0.1 × 0.05 is gone round twice.
	pocket := write(t, "pocket.geojson", featureCollection(polygon(unit("0 0, 1 0, 1 1, 0.45 1, 0.45 0.95, 0.55 0.95, 0.55 1.05, 0 1.05, 0 0")...)))
	lot = readOne(t, pocket, Options{})
	require.NoError(t, lot.Err)
	assert.InDelta(t, 100*0.005/1.0275, lot.Repair.ChangedPct, 1e-4)
	assert.ErrorContains(t, readOne(t, pocket, Options{Repair: 0.001}).Err, "more than 0.1% is not ours to decide")

	sound := readShape(t, polygon(unit("0 0, 1 0, 1 1, 0 1, 0 0")...))
	assert.Equal(t, zoning.Repair{}, sound.Repair)
	overlap := readShape(t, multiPolygon(unit("0 0, 1 0, 1 1, 0 1, 0 0", "0.5 0, 1.5 0, 1.5 1, 0.5 1, 0.5 0")...))
	assert.True(t, overlap.Repair.Done)
	assert.InDelta(t, 100.0/3, overlap.Repair.ChangedPct, 1e-3)

	for _, share := range []float64{-0.01, 0.51, 1e9} {
		_, err := Read(t.Context(), tie, Options{Repair: share})
		assert.ErrorContains(t, err, "a repair may not change")
	}
}

// A walk that is refused for its ways there and back tells how much lies beside.
func TestAWalkThatIsRefusedTellsHowMuch(t *testing.T) {
	tie := orb.Polygon{{{0, 0}, {1, 1}, {1, 0}, {0, 1}, {0, 0}}}
	_, err := tangle(tie, mending{most: DefaultRepair})
	require.ErrorContains(t, err, "and more than 1% is not ours to decide")
	r, err := tangle(tie, mending{most: MostRepair})
	require.NoError(t, err)
	assert.Equal(t, zoning.Repair{}, r)
}
