package find

import (
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"net/url"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/fetch"
)

// link is a link of a STAC API.
type link struct {
	Rel    string         `json:"rel"`
	Href   string         `json:"href"`
	Method string         `json:"method"`
	Body   map[string]any `json:"body"`
	Merge  bool           `json:"merge"`
}

// itemsPage is an answer of an item search.
type itemsPage struct {
	Type          string `json:"type"`
	Features      []item `json:"features"`
	Links         []link `json:"links"`
	NumberMatched *int   `json:"numberMatched"`
	Context       struct {
		Matched *int `json:"matched"`
	} `json:"context"`
}

type item struct {
	ID         string    `json:"id"`
	BBox       []float64 `json:"bbox"`
	Collection string    `json:"collection"`
	Properties struct {
		Datetime  string `json:"datetime"`
		Start     string `json:"start_datetime"`
		End       string `json:"end_datetime"`
		Published string `json:"published"`
		Created   string `json:"created"`
	} `json:"properties"`
	Assets map[string]struct {
		Href string `json:"href"`
	} `json:"assets"`
	Links []link `json:"links"`
}

// stacPage is how many items are asked for at once, and mostPages how many answers are read.
const (
	stacPage  = 100
	mostPages = 1000
)

// searchSTAC finds the items of a box, and of those that tell bare earth the tiles. A surface in a collection of its own goes with the
// tile of the same box and date.
func searchSTAC(ctx context.Context, c *fetch.Client, s Source, box orb.Bound) ([]Tile, error) {
	search, err := searchLink(ctx, c, s.Address)
	if err != nil {
		return nil, err
	}
	items, err := searchItems(ctx, c, search, s.Collection, box)
	if err != nil {
		return nil, err
	}
	var surfaces []item
	if s.SurfaceCollection != "" {
		if surfaces, err = searchItems(ctx, c, search, s.SurfaceCollection, box); err != nil {
			return nil, err
		}
	}
	of := map[string]string{} // addresses of surfaces, by box and date
	for _, i := range surfaces {
		of[i.place()] = i.asset(s.Address, s.Surface)
	}
	var tiles []Tile
	for _, i := range items {
		t, ok := i.tile(s)
		if !ok {
			continue
		}
		if s.SurfaceCollection != "" {
			t.Surface = of[i.place()]
		}
		tiles = append(tiles, t)
	}
	return tiles, nil
}

// searchLink finds where a landing page says that items are searched, by POST where it may be.
func searchLink(ctx context.Context, c *fetch.Client, root string) (link, error) {
	answer, err := c.Ask(ctx, fetch.Question{Address: root, Accept: "application/json"})
	if err != nil {
		return link{}, err
	}
	var landing struct {
		Links []link `json:"links"`
	}
	if err := parse(answer.Body, &landing); err != nil {
		return link{}, err
	}
	found := link{Href: strings.TrimSuffix(root, "/") + "/search", Method: http.MethodGet}
	told := false
	for _, l := range landing.Links {
		if l.Rel != "search" {
			continue
		}
		l.Method = strings.ToUpper(cmp.Or(l.Method, http.MethodGet))
		if !told || l.Method == http.MethodPost {
			if l.Href, err = against(root+"/", l.Href); err != nil {
				return link{}, err
			}
			found, told = l, true
		}
	}
	return found, nil
}

// searchItems pages through the items of a collection in a box.
func searchItems(ctx context.Context, c *fetch.Client, search link, collection string, box orb.Bound) ([]item, error) {
	body := map[string]any{"collections": []string{collection}, "bbox": []float64{box.Min[0], box.Min[1], box.Max[0], box.Max[1]}, "limit": stacPage}
	address := search.Href
	if search.Method != http.MethodPost {
		address = withQuery(address, url.Values{
			"collections": {collection}, "limit": {fmt.Sprint(stacPage)},
			"bbox": {fmt.Sprintf("%.6f,%.6f,%.6f,%.6f", box.Min[0], box.Min[1], box.Max[0], box.Max[1])},
		})
		body = nil
	}
	var items []item
	seen := map[string]bool{}
	for range mostPages {
		q := fetch.Question{Address: address, Accept: "application/geo+json"}
		if body != nil {
			text, err := json.Marshal(body)
			if err != nil {
				return nil, err
			}
			q.Method, q.Body, q.Type = http.MethodPost, text, "application/json"
		}
		if key := address + "\n" + string(q.Body); seen[key] {
			return nil, fmt.Errorf("%w: its pages lead back to one that was read", ErrPartial)
		} else {
			seen[key] = true
		}
		page, err := askItems(ctx, c, q)
		if err != nil {
			return nil, err
		}
		items = append(items, page.Features...)
		next, more := page.next()
		switch {
		case len(items) > mostTiles:
			return nil, fmt.Errorf("%w: it lists more than %d rasters", ErrTooMany, mostTiles)
		case !more:
			if n := cmp.Or(page.NumberMatched, page.Context.Matched); n != nil && *n > len(items) {
				return nil, fmt.Errorf("%w: it says that there are %d rasters, and listed %d", ErrPartial, *n, len(items))
			}
			return items, nil
		}
		if address, body, err = next.follow(address, body); err != nil {
			return nil, err
		}
	}
	return nil, fmt.Errorf("%w: it has more than %d pages", ErrTooMany, mostPages)
}

func askItems(ctx context.Context, c *fetch.Client, q fetch.Question) (page itemsPage, err error) {
	answer, err := c.Ask(ctx, q)
	if err != nil {
		return page, err
	}
	if err := parse(answer.Body, &page); err != nil {
		return page, err
	}
	if page.Type != "FeatureCollection" {
		return page, fmt.Errorf("%w: it is no list of items", ErrNotUnderstood)
	}
	return page, nil
}

func (p itemsPage) next() (link, bool) {
	for _, l := range p.Links {
		if l.Rel == "next" && l.Href != "" {
			return l, true
		}
	}
	return link{}, false
}

// follow is the question that a link asks, after the one in whose answer it stood.
func (l link) follow(from string, asked map[string]any) (address string, body map[string]any, err error) {
	if address, err = against(from, l.Href); err != nil {
		return "", nil, err
	}
	if !strings.EqualFold(l.Method, http.MethodPost) {
		return address, nil, nil
	}
	body = map[string]any{}
	if l.Merge {
		maps.Copy(body, asked)
	}
	maps.Copy(body, l.Body)
	return address, body, nil
}

// tile is an item as a tile; ok is false where it holds no bare earth.
func (i item) tile(s Source) (t Tile, ok bool) {
	t = Tile{Address: i.asset(s.Address, s.Terrain), Box: nowhere, Found: terrain.Found{Service: s.Key, Project: i.ID}}
	if t.Address == "" {
		return t, false
	}
	if s.Surface != "" && s.SurfaceCollection == "" {
		t.Surface = i.asset(s.Address, s.Surface)
	}
	if n := len(i.BBox); n == 4 || n == 6 {
		t.Box = boxOf(i.BBox[0], i.BBox[1], i.BBox[n/2], i.BBox[n/2+1])
	}
	p := i.Properties
	t.Surveyed = dateOf(cmp.Or(p.Start, p.Datetime, p.End))
	t.Found.Published = dateOf(cmp.Or(p.Published, p.Created))
	return t, true
}

// asset is the address of an asset; "" where the item has none of that name, or none by http.
func (i item) asset(root, key string) string {
	base := root
	for _, l := range i.Links {
		if l.Rel == "self" && l.Href != "" {
			base = l.Href
		}
	}
	href, ok := i.Assets[key]
	if !ok || href.Href == "" {
		return ""
	}
	address, err := against(base, href.Href)
	if err != nil {
		return ""
	}
	return address
}

// place is what an item shares with that of the other surface of the same survey.
func (i item) place() string {
	return fmt.Sprintf("%.5f %s %s", i.BBox, i.Properties.Start, i.Properties.Datetime)
}

// against is an address seen from another; what is no http address is refused.
func against(base, href string) (string, error) {
	b, err := url.Parse(base)
	if err != nil {
		return "", fmt.Errorf("%w: %q is no address", ErrNotUnderstood, base)
	}
	u, err := b.Parse(href)
	if err != nil || u.Scheme != "https" && u.Scheme != "http" {
		return "", fmt.Errorf("%w: %q is no https address", ErrNotUnderstood, href)
	}
	return u.String(), nil
}

func withQuery(address string, q url.Values) string {
	if strings.Contains(address, "?") {
		return address + "&" + q.Encode()
	}
	return address + "?" + q.Encode()
}
