package read

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Boundary and site files were read to their end for someone who had given up.
func TestReadingFilesIsCancelled(t *testing.T) {
	const never = 1 << 30
	lots := boundary(t, twoLots...)
	yard := write(t, "site.geojson", featureCollection(polygon(boxRing), polygon(boxRing), polygon(boxRing)))
	for name, c := range map[string]struct {
		looks int // of a reading to its end
		read  func(ctx context.Context) (n int, err error)
	}{
		"Read": {4, func(ctx context.Context) (int, error) { all, err := Read(ctx, lots, Options{}); return len(all), err }},
		"Lots": {4, func(ctx context.Context) (n int, err error) {
			for _, err := range Lots(ctx, lots, Options{}) {
				if err != nil {
					return n, err
				}
				n++
			}
			return n, nil
		}},
		"readTravel": {5, func(ctx context.Context) (int, error) {
			found, err := readTravel(ctx, yard, SiteOptions{})
			return len(found), err
		}},
		"SiteFiles": {10, func(ctx context.Context) (int, error) {
			found, err := SiteFiles{Staging: []string{yard}, Travel: []string{yard}}.ReadDrawn(ctx)
			return len(found), err
		}},
	} {
		ctx := &cancelledAfter{t.Context(), never}
		_, err := c.read(ctx)
		require.NoError(t, err, name)
		assert.Equal(t, c.looks, never-ctx.looks, "%s looks before the file, each feature and its end", name)
		for looks := range c.looks {
			ctx := &cancelledAfter{t.Context(), looks}
			n, err := c.read(ctx)
			assert.ErrorIs(t, err, context.Canceled, "%s at look %d", name, looks)
			assert.Equal(t, -1, ctx.looks, "%s: the look that ends it is the last", name)
			assert.Less(t, n, c.looks, name)
		}
	}
	ended, cancel := context.WithCancel(t.Context())
	cancel()
	found, err := ReadSite(ended, yard, SiteOptions{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, []site.Feature(nil), found)
	all, err := Read(ended, lots, Options{})
	assert.ErrorIs(t, err, context.Canceled)
	assert.Equal(t, []zoning.Lot(nil), all)
}
