package read

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/osm"
	"github.com/acreband/acreband/zoning/site"
)

// isExtract reports whether a file is an OpenStreetMap extract, by its first bytes.
func isExtract(path string) bool {
	head, err := readHead(path)
	return err == nil && osm.IsExtract(head)
}

// extracts are the paths that are OpenStreetMap extracts, and drawn the others.
func (q SiteFiles) extracts() (extracts, drawn []string) {
	for _, path := range q.Site {
		if path == OpenMap || isExtract(path) {
			extracts = append(extracts, path)
		} else {
			drawn = append(drawn, path)
		}
	}
	return extracts, drawn
}

// ReadExtracts reads what the OpenStreetMap extracts among the site files, or a server asked
// for [OpenMap], show around lots, by the box around those, with what there is to say of them; nothing where no
// file is an extract. Polygons are checked and repaired as drawn ones are.
func (q SiteFiles) ReadExtracts(ctx context.Context, lots orb.Bound) (features []site.Feature, notes []string, err error) {
	paths, _ := q.extracts()
	for _, path := range paths {
		x, name, err := q.readExtract(ctx, path, lots)
		if err != nil {
			return nil, nil, err
		}
		mended, more, err := mendExtract(x.Features, q.SiteOptions.Units)
		if err != nil {
			return nil, nil, fmt.Errorf("%s: %w", path, err)
		}
		features = append(features, mended...)
		for _, n := range append(x.Notes, more...) {
			notes = append(notes, name+": "+n)
		}
	}
	return features, notes, nil
}

// readExtract reads one, or asks for it, with its name for people.
func (q SiteFiles) readExtract(ctx context.Context, path string, lots orb.Bound) (x *osm.Extract, name string, err error) {
	if path == OpenMap {
		return q.openMap(ctx, lots)
	}
	x, err = osm.Read(ctx, path, osm.Options{Lots: lots, WaterSetback: q.SiteOptions.WaterSetback, Units: q.SiteOptions.Units})
	return x, filepath.Base(path), err
}

// mendExtract checks and repairs polygons. One that cannot be used becomes the box around
// it: more is closed, and people are nearer, than the map shows.
func mendExtract(features []site.Feature, units measure.Units) ([]site.Feature, []string, error) {
	c, err := newCRS(wgs84Name, "")
	if err != nil {
		return nil, nil, err
	}
	defer c.close()
	boxed := 0
	out := slices.Clone(features)
	for i, f := range out {
		polygons, ok := f.Geometry.(orb.MultiPolygon)
		if !ok {
			continue
		}
		m, err := c.ground(polygons, mending{DefaultRepair, units})
		if err != nil {
			boxed++
			m.ground = orb.MultiPolygon{f.Geometry.Bound().Pad(1e-7).ToPolygon()}
		}
		out[i].Geometry = m.ground
	}
	if boxed == 0 {
		return out, nil, nil
	}
	return out, []string{fmt.Sprintf("areas that cross themselves: %d; the boxes around them are taken", boxed)}, nil
}

// GaveWay says that some features of a map gave way to drawn ones, by [site.Yield].
func GaveWay(n int) string {
	return fmt.Sprintf("features of OpenStreetMap that gave way to what was drawn of the same: %d", n)
}
