package raster

import (
	"context"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/find"
)

// AddTiles adds what services say lies somewhere, in their order: each is opened where some ground touches its box, or anywhere where
// it has none, and only its cells tell whether it has heights there.
func (c *Catalogue) AddTiles(tiles []find.Tile) {
	for _, t := range tiles {
		e := Entry{Path: t.Address, Found: t.Found, Surveyed: t.Surveyed, Of: t.Of, Rank: t.Rank}
		if t.Box.IsEmpty() {
			c.named = append(c.named, len(c.entries))
		} else {
			e.Rim = rimOf(t.Box.Min[0], t.Box.Max[1], t.Box.Max[0], t.Box.Min[1])
		}
		c.entries = append(c.entries, e)
		c.insert(len(c.entries) - 1)
	}
}

// AroundOf is [Catalogue.Around] without first surfaces that belong to bare earth which is none of some sources: trees of another survey
// have grown since, or were cleared.
func (c *Catalogue) AroundOf(ctx context.Context, ground orb.MultiPolygon, sources []terrain.Source) ([]*Raster, error) {
	return c.open(ctx, slices.DeleteFunc(c.Near(ground), func(i int) bool {
		of := c.entries[i].Of
		return of != "" && !slices.ContainsFunc(sources, func(s terrain.Source) bool { return s.Path == of })
	}))
}

// Ranks is how many ranks its entries have.
func (c *Catalogue) Ranks() int {
	most := 0
	for i := range c.entries {
		most = max(most, c.entries[i].Rank)
	}
	return most + 1
}

// tell adds what a service said of a raster to what it says itself.
func (r *Raster) tell(e *Entry) {
	fetched := r.Source.Found.Fetched
	r.Source.Found, r.tier = e.Found, e.Rank
	r.Source.Found.Fetched = fetched
	if r.Source.Surveyed == "" {
		r.Source.Surveyed = e.Surveyed
	}
}

// fetched is the date on which a file on a server was fetched first; "" of any other.
func (o Options) fetched(ctx context.Context, path string) string {
	if !isRemote(path) {
		return ""
	}
	f, err := o.client().File(ctx, strings.ReplaceAll(strings.TrimPrefix(path, curlPrefix), " ", "%20"))
	if err != nil {
		return "" // it is open all the same
	}
	return f.Fetched().Format("2006-01-02")
}
