package raster

import (
	"context"
	"net/http"
	"path/filepath"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// holdBack makes a shelf answer nothing until the test lets it, and end a context as
// soon as it is asked.
func holdBack(t *testing.T, s *shelf) (ctx context.Context, letGo func()) {
	ctx, end := context.WithCancel(t.Context())
	gate := make(chan struct{})
	s.meddle(func(http.ResponseWriter, *http.Request, int) bool {
		end()
		<-gate
		return false
	})
	letGo = sync.OnceFunc(func() { close(gate) })
	t.Cleanup(letGo)
	return ctx, letGo
}

// Cause: what reads files took no context.
func TestWhatReadsEndsWithItsContext(t *testing.T) {
	file := hillDEM().write(t, "hill.tif")
	r := opened(t, file, Options{})
	ground := patch(t, r, 10.5, 10.5, 20.5, 20.5)
	c, err := NewCatalogue(t.Context(), []string{file}, Options{})
	require.NoError(t, err)
	defer c.Close()
	grids, err := c.Mosaics(t.Context())
	require.NoError(t, err)
	listed := CatalogueOf(c.Entries(), Options{}, NewCache(1<<20))
	defer listed.Close()
	ended, end := context.WithCancel(t.Context())
	end()
	for name, read := range map[string]func() error{
		"NewCatalogue":             func() error { _, err := NewCatalogue(ended, []string{file}, Options{}); return err },
		"NewCatalogue of a folder": func() error { _, err := NewCatalogue(ended, []string{filepath.Dir(file)}, Options{}); return err },
		"Expand":                   func() error { _, err := Expand(ended, []string{filepath.Dir(file)}); return err },
		"Open":                     func() error { _, err := Open(ended, file, Options{}); return err },
		"Examine":                  func() error { _, _, err := Examine(ended, file, Options{}); return err },
		"Read":                     func() error { _, err := Read(ended, []*Raster{r}, ground); return err },
		"ReadWide":                 func() error { _, err := ReadWide(ended, []*Raster{r}, ground); return err },
		"Around":                   func() error { _, err := listed.Around(ended, ground); return err },
		"AroundWide":               func() error { _, err := listed.AroundWide(ended, ground); return err },
		"Mosaics":                  func() error { _, err := CatalogueOf([]Entry{{Path: file}}, Options{}, nil).Mosaics(ended); return err },
		"ReadCells":                func() error { _, err := listed.ReadCells(ended, grids[0], terrain.NewWindow(0, 0, 9, 9)); return err },
		"Sample":                   func() error { _, err := r.Sample(ended); return err },
		"Overview":                 func() error { _, err := r.Overview(ended, r.Extent(), 8, 8); return err },
	} {
		assert.ErrorIs(t, read(), context.Canceled, name)
	}
	e, err := Read(t.Context(), []*Raster{r}, ground)
	require.NoError(t, err)
	mustHoldHill(t, e)
}

// A folder that was looked through in part leaves no index that says less than it holds.
func TestAnEndedLookLeavesNoIndex(t *testing.T) {
	file := hillDEM().write(t, "hill.tif")
	ended, end := context.WithCancel(t.Context())
	f, err := look(t.Context(), filepath.Dir(file), nil)
	require.NoError(t, err)
	end()
	records, warnings := indexed(ended, f, Options{})
	assert.Empty(t, records)
	assert.Empty(t, warnings)
	assert.Empty(t, readIndex(f.folder))
	c, err := NewCatalogue(t.Context(), []string{f.folder}, Options{})
	require.NoError(t, err)
	defer c.Close()
	require.Len(t, c.Entries(), 1)
	assert.Empty(t, c.Entries()[0].Refused)
}

// Cause: a server that does not answer held whoever asked for a minute and more.
func TestAServerThatHoldsBackHoldsNobody(t *testing.T) {
	s := newShelf(t, map[string]string{"big.tif": bigHill(t)})
	ctx, letGo := holdBack(t, s)
	_, err := NewCatalogue(ctx, []string{s.URL + "/big.tif"}, Options{})
	require.ErrorIs(t, err, context.Canceled)
	letGo()

	s.meddle(nil)
	r := opened(t, s.URL+"/big.tif", Options{})
	place := patch(t, r, 1000.5, 1000.5, 1100.5, 1100.5)
	ctx, letGo = holdBack(t, s)
	_, err = Read(ctx, []*Raster{r}, place)
	require.ErrorIs(t, err, context.Canceled)
	_, err = Read(ctx, []*Raster{r}, place)
	require.ErrorIs(t, err, context.Canceled, "nor does one wait for what was left")
	letGo()
	e, err := Read(t.Context(), []*Raster{r}, place)
	require.NoError(t, err, "what was left is waited for by who wants more")
	mustHoldHill(t, e)

	// Closed while a request is left, it is closed after that.
	again, err := Open(t.Context(), s.URL+"/big.tif", Options{})
	require.NoError(t, err)
	ctx, letGo = holdBack(t, s)
	_, err = Read(ctx, []*Raster{again}, patch(t, again, 500.5, 500.5, 600.5, 600.5))
	require.ErrorIs(t, err, context.Canceled)
	again.Close()
	letGo()
	<-again.asked.answered
}

// Rasters that lie nowhere near are not asked; a place of nothing is on none.
func TestNothingToRead(t *testing.T) {
	_, err := Read(t.Context(), nil, orb.MultiPolygon{})
	assert.ErrorIs(t, err, ErrOffRaster)
}
