package read

import (
	"context"
	"errors"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// LotSource is what the grounds of many lots are made from, one after another.
type LotSource struct {
	File      string                 // that they come from, for messages
	Boundary  zoning.BoundaryQuality // how well their lines are known; "" where nobody says
	Elevation *raster.Catalogue      // what it warns of is left to who made it
	Surface   *raster.Catalogue      // of first surfaces, as Elevation; nil without
	Features  []site.Feature         // what is known of the ground beside
	Lent      *Neighborhood          // what maps of others show of it; nil without
}

// Prepare is [Prepare] for one of the lots. The ground is the same as if the lot were
// alone in its file, with those of the features that lie within two miles of it. Once the
// context is done it returns its error, as [Prepare] does.
func (l LotSource) Prepare(ctx context.Context, lot zoning.Lot) (*mapping.Ground, error) {
	if l.Elevation == nil {
		return nil, errors.New("there is no elevation to map lots on; give a catalogue of rasters")
	}
	if err := checkFeatures(l.Features); err != nil {
		return nil, err
	}
	if err := onElevation(ctx, l.File, l.Elevation, lot.Parcel); err != nil {
		return nil, err
	}
	g, err := readGround(ctx, l.Elevation, []zoning.Lot{lot}, l.near(lot.Ground), l.File, l.Boundary)
	if err != nil {
		return nil, err
	}
	g.ManyLots = true
	if l.Surface == nil {
		return g, nil
	}
	if err := readSurface(ctx, g, l.Surface); err != nil {
		return nil, err
	}
	return g, nil
}

// near is the features within two miles of a lot, and of maps of others what they keep
// around it.
func (l LotSource) near(ground orb.MultiPolygon) []site.Feature {
	near := mapping.ReachOf(ground.Bound())
	var out []site.Feature
	for _, f := range l.Features {
		if near.Intersects(f.Geometry.Bound()) {
			out = append(out, f)
		}
	}
	return append(out, l.Lent.around(ground.Bound())...)
}

// SurfaceNear lists the entries of the first surface that the ground of a lot may take
// some of: those around the window of elevation that is read for it.
func (l LotSource) SurfaceNear(ground orb.MultiPolygon) []int {
	all := ground
	for _, f := range l.near(ground) {
		all = append(all[:len(all):len(all)], mapping.WaysOf(f)...)
	}
	return l.Surface.Near(orb.MultiPolygon{l.Elevation.WindowAround(all)})
}
