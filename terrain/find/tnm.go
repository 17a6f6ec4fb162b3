package find

import (
	"context"
	"encoding/json"
	"fmt"
	"net/url"
	"path"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/fetch"
)

// products is an answer of the US elevation program's product search.
type products struct {
	Total    int               `json:"total"`
	Items    []product         `json:"items"`
	Errors   []json.RawMessage `json:"errors"`
	Messages []json.RawMessage `json:"messages"`
}

type product struct {
	Title           string `json:"title"`
	PublicationDate string `json:"publicationDate"`
	SizeInBytes     int64  `json:"sizeInBytes"`
	DownloadURL     string `json:"downloadURL"`
	BoundingBox     struct {
		MinX, MaxX, MinY, MaxY float64
	} `json:"boundingBox"`
}

// tnmPage is how many products are asked for at once.
const tnmPage = 100

// searchTNM pages through what a product search lists for a box.
func searchTNM(ctx context.Context, c *fetch.Client, s Source, box orb.Bound) ([]Tile, error) {
	var tiles []Tile
	for got := 0; ; {
		q := url.Values{
			"datasets": {s.Dataset}, "prodFormats": {"GeoTIFF"}, "outputFormat": {"JSON"},
			"bbox": {fmt.Sprintf("%.6f,%.6f,%.6f,%.6f", box.Min[0], box.Min[1], box.Max[0], box.Max[1])},
			"max":  {strconv.Itoa(tnmPage)}, "offset": {strconv.Itoa(got)},
		}
		answer, err := c.Ask(ctx, fetch.Question{Address: s.Address + "?" + q.Encode(), Accept: "application/json"})
		if err != nil {
			return nil, err
		}
		var page products
		if err := parse(answer.Body, &page); err != nil {
			return nil, err
		}
		if len(page.Errors) > 0 {
			return nil, fmt.Errorf("it answers with an error: %s", shorten(string(page.Errors[0])))
		}
		for _, p := range page.Items {
			if t, ok := p.tile(s.Key); ok {
				tiles = append(tiles, t)
			}
		}
		got += len(page.Items)
		switch {
		case got >= page.Total:
			return tiles, nil
		case len(page.Items) == 0:
			return nil, fmt.Errorf("%w: it says that there are %d rasters, and listed %d", ErrPartial, page.Total, got)
		case got > mostTiles:
			return nil, fmt.Errorf("%w: it lists %d rasters", ErrTooMany, page.Total)
		}
	}
}

// tile is a product as a tile; ok is false where it is no raster that answers range requests.
func (p product) tile(service string) (t Tile, ok bool) {
	u, err := url.Parse(p.DownloadURL)
	if err != nil || !strings.EqualFold(path.Ext(u.Path), ".tif") && !strings.EqualFold(path.Ext(u.Path), ".tiff") {
		return t, false
	}
	b := p.BoundingBox
	return Tile{
		Address: p.DownloadURL, Box: boxOf(b.MinX, b.MinY, b.MaxX, b.MaxY), Bytes: p.SizeInBytes,
		Found: terrain.Found{Service: service, Project: p.project(u), Published: dateOf(p.PublicationDate)},
	}, true
}

// project is the folder below Projects in the address of a tile, else the last word of its title.
func (p product) project(u *url.URL) string {
	if _, rest, ok := strings.Cut(u.Path, "/Projects/"); ok {
		name, _, _ := strings.Cut(rest, "/")
		return name
	}
	words := strings.Fields(p.Title)
	if len(words) == 0 {
		return ""
	}
	return words[len(words)-1]
}
