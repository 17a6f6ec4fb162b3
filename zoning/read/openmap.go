package read

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning/osm"
)

// OpenMap among the paths of [SiteFiles.Site] asks an Overpass API what open maps show around
// the lots, instead of reading a file.
const OpenMap = "auto"

// openMapTime is how long its server may take for all it is asked.
const openMapTime = 3 * time.Minute

// openMap is what open maps show around lots, as the first service of kind overpass that
// covers their ground tells it.
func (q SiteFiles) openMap(ctx context.Context, lots orb.Bound) (*osm.Extract, string, error) {
	i := slices.IndexFunc(q.Services, func(s find.Source) bool { return s.Kind == find.KindOverpass && s.Covers(lots) })
	if i < 0 {
		return nil, "", fmt.Errorf("%s %s: no Overpass API is listed for the ground of the lots, and none is built in, since those servers are lent: add yours, of kind overpass, to a list of services (%s), or give an OpenStreetMap extract",
			setting.Name("site"), OpenMap, setting.Name("services"))
	}
	from := q.Services[i]
	client := cmp.Or(q.Fetch, fetch.New(fetch.Options{}))
	client.Allow(from.Address) // the user named it
	queries, err := osm.Queries(lots)
	if err != nil {
		return nil, "", fmt.Errorf("%s %s: %w", setting.Name("site"), OpenMap, err)
	}
	whole, end := context.WithTimeout(ctx, openMapTime)
	defer end()
	var answers [][]byte
	fetched := time.Time{}
	for _, query := range queries {
		a, err := client.Ask(whole, fetch.Question{
			Method: "POST", Address: from.Address, Body: []byte("data=" + url.QueryEscape(query)), Type: "application/x-www-form-urlencoded",
		})
		if errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil {
			err = fmt.Errorf("it took longer than %v; try later, or give an OpenStreetMap extract", openMapTime)
		}
		if err != nil {
			return nil, "", fmt.Errorf("%s %s, %s: %w", setting.Name("site"), OpenMap, from.Key, err)
		}
		answers = append(answers, a.Body)
		if fetched.IsZero() || a.Fetched.Before(fetched) {
			fetched = a.Fetched
		}
	}
	x, err := osm.ReadAnswers(ctx, answers, osm.Options{Lots: lots, WaterSetback: q.SiteOptions.WaterSetback, Units: q.SiteOptions.Units})
	if err != nil {
		return nil, "", fmt.Errorf("%s %s, %s: %w", setting.Name("site"), OpenMap, from.Key, err)
	}
	return x, fmt.Sprintf("%s, fetched %s", from.Key, fetched.Format(time.DateOnly)), nil
}
