package read

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/find/findtest"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// trees stand 12 m high on half of each square of 20 cells.
func trees(col, row int) float32 {
	if col%20 < 10 && row%20 < 10 {
		return 12
	}
	return 0
}

// The first surface of the same survey is found with the elevation, though a newer one lies there, and growth is measured on it.
func TestPrepareFindsGrowth(t *testing.T) {
	s, o := services(t)
	s.Products = nil
	box := boxAround(t, 740_000, 4_020_000, 800)
	s.Items = []findtest.Tile{
		{Name: "void.tif", Surface: "wrong.tif", Box: box, Surveyed: "2023-05-06"},
		{Name: "dtm.tif", Surface: "dsm.tif", Box: box, Surveyed: "2021-05-06"},
	}
	s.Files["void.tif"] = madeTile(t, 740_000, 4_020_000, 800, 800, nil)
	s.Files["dtm.tif"] = madeTile(t, 740_000, 4_020_000, 800, 0, nil)
	s.Files["dsm.tif"] = madeTile(t, 740_000, 4_020_000, 800, 0, trees)
	lot := lotAt(t, 740_300, 4_019_700, 100)
	g, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o, FindSurface: true})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	require.NotNil(t, m.Growth)
	require.Len(t, m.Growth.Sources, 1)
	assert.Equal(t, s.URL+"/files/dsm.tif", m.Growth.Sources[0].Path)
	assert.Equal(t, "2021-05-06", m.Growth.Surveyed)
	total := m.Growth.Total()
	assert.InDelta(t, 0.25, total.ByClass[3]/m.Lots[0].Acres, 0.02, "12 m on a quarter of the ground")
	assert.Zero(t, s.Asked("/files/wrong.tif"))

	// Ground and surface exchanged in the service's list.
	s.Items = []findtest.Tile{{Name: "dsm.tif", Surface: "dtm.tif", Box: box, Surveyed: "2021-05-06"}}
	o.Fetch = client(o.Named, "", false)
	_, err = Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o, FindSurface: true})
	require.ErrorIs(t, err, mapping.ErrSurface)
}

// Where no service has a surface, or nobody knows of which survey the elevation is, that is said.
func TestPrepareFindsNoGrowth(t *testing.T) {
	_, o := services(t)
	lot := lotAt(t, 741_900, 4_019_500, 100)
	_, err := Prepare(t.Context(), Request{Parcel: lot, ElevationOptions: o, FindSurface: true})
	require.ErrorIs(t, err, ErrNoSurface)
	assert.ErrorContains(t, err, "none of the services that have the elevation (made-1m, made-10m) has one of the same survey")
	_, err = Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: boundary(t, twoLots[1]), FindSurface: true})
	require.ErrorIs(t, err, ErrNoSurface)
	assert.ErrorContains(t, err, "of which survey it is nobody knows")
}
