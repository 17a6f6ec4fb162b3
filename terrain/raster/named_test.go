package raster

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/find"
)

func TestNamedSourceOfOnesOwn(t *testing.T) {
	s := newShelf(t, map[string]string{"hill.tif": hillDEM().write(t, "hill.tif")})
	own, err := find.Parse("own.yaml", []byte("sources:\n  - {key: mine/1-m, name: Mine, address: "+s.URL+"/hill.tif, address_from: the server beside this}\n"))
	require.NoError(t, err)
	c := catalogued(t, Options{Named: own}, "mine/1-m")
	require.Len(t, c.Entries(), 1)
	assert.Equal(t, s.URL+"/hill.tif", c.Entries()[0].Path)
	_, err = NewCatalogue(t.Context(), []string{"us-1-arc-second"}, Options{Named: own})
	assert.ErrorContains(t, err, "those are mine/1-m")
}
