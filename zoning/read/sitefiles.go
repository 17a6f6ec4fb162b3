package read

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// SiteFiles name files that say what is known of the ground beside lots and heights.
type SiteFiles struct {
	Site        []string    // what is on it, see zoning/site; [OpenMap] asks what open maps show
	Staging     []string    // places where the trailer unloads
	Unload      []orb.Point // further such places, longitude and latitude of WGS84
	Travel      []string    // ground that machines may cross beside the lots
	SiteOptions SiteOptions

	Services []find.Source // where to ask for [OpenMap], beside others
	Fetch    *fetch.Client // asks them; nil asks and keeps nothing
}

// None reports whether there are none.
func (q SiteFiles) None() bool { return len(q.Site)+len(q.Staging)+len(q.Unload)+len(q.Travel) == 0 }

// ReadDrawn reads the features of all files that were drawn for the job, as [ReadSite] does,
// and adds those of the places in Unload. OpenStreetMap extracts are left to
// [SiteFiles.ReadExtracts], which wants to know where the lots lie.
func (q SiteFiles) ReadDrawn(ctx context.Context) ([]site.Feature, error) {
	var all []site.Feature
	_, drawn := q.extracts()
	for _, files := range []struct {
		paths []string
		read  func(context.Context, string, SiteOptions) ([]site.Feature, error)
	}{{drawn, ReadSite}, {q.Staging, readStaging}, {q.Travel, readTravel}} {
		for _, path := range files.paths {
			features, err := files.read(ctx, path, q.SiteOptions)
			if err != nil {
				return nil, err
			}
			all = append(all, features...)
		}
	}
	for i, at := range q.Unload {
		all = append(all, site.Feature{Kind: site.Staging, Place: i + 1, Geometry: at})
	}
	return all, nil
}

// checkSite refuses site files of which nothing lies within two miles of the lots: with
// a wrong CRS every no-go and every line in them would be lost.
func (q SiteFiles) checkSite(features []site.Feature, near orb.Bound) error {
	_, drawn := q.extracts()
	if len(drawn) == 0 {
		return nil
	}
	var first *site.Feature
	for i, f := range features {
		if f.Kind == site.Staging || f.Kind == site.Travel || f.Lent() {
			continue
		}
		if near.Intersects(f.Geometry.Bound()) {
			return nil
		}
		if first == nil {
			first = &features[i]
		}
	}
	if first == nil {
		return nil
	}
	return fmt.Errorf("%s: nothing in it lies within %s of the lots; its first shape is at %s: check its place and its CRS (%s), or leave it out",
		drawn[0], q.SiteOptions.Units.LongLength(mapping.FarM), text.Degrees(first.Geometry.Bound().Center()), setting.Name("site-crs"))
}

// CheckPlace refuses site files of which nothing lies within two miles of lots, and ways
// that do not, by the box around the lots. It says nothing where that is empty.
func (q SiteFiles) CheckPlace(features []site.Feature, lots orb.Bound) error {
	if lots.IsEmpty() {
		return nil
	}
	if err := checkFeatures(features); err != nil {
		return err
	}
	near := mapping.ReachOf(lots)
	for _, f := range features {
		if err := mapping.CheckWay(f, near, q.SiteOptions.Units); err != nil {
			return err
		}
	}
	return q.checkSite(features, near)
}
