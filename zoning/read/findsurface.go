package read

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/terrain/setting"
)

// ErrNoSurface says that no service has a first surface of the survey that the elevation is of.
var ErrNoSurface = errors.New("no first surface was found")

// SurfaceOf makes a catalogue of the first surfaces that services have of the surveys they found; nil was not searched. Where there is
// none the error is [ErrNoSurface].
func SurfaceOf(search *find.Search, elevation, surface raster.Options) (*raster.Catalogue, error) {
	if search == nil {
		return nil, fmt.Errorf("%w: the elevation was given, and of which survey it is nobody knows; give the surface of that by %s", ErrNoSurface, setting.Name("surface"))
	}
	var surfaces []find.Tile
	for _, t := range search.Tiles {
		if t.Surface != "" {
			t.Address, t.Of, t.Surface, t.Rank = t.Surface, t.Address, "", 0
			surfaces = append(surfaces, t)
		}
	}
	if len(surfaces) == 0 {
		return nil, fmt.Errorf("%w: none of the services that have the elevation (%s) has one of the same survey; map without the height of growth, or give a surface by %s",
			ErrNoSurface, serviceKeys(search.Tiles), setting.Name("surface"))
	}
	surface.Fetch, surface.Named = elevation.Fetch, elevation.Named
	c, err := raster.NewCatalogue(context.Background(), nil, SurfaceOptions(surface))
	if err != nil {
		return nil, err
	}
	c.AddTiles(surfaces)
	return c, nil
}

func serviceKeys(tiles []find.Tile) string {
	var keys []string
	for _, t := range tiles {
		if !slices.Contains(keys, t.Found.Service) {
			keys = append(keys, t.Found.Service)
		}
	}
	return strings.Join(keys, ", ")
}
