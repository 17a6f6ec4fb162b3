// Package findtest plays, on loopback, the services that terrain/find asks: a product search of the US elevation program, a STAC API,
// and a shelf of files that answers range requests. What it answers has the shapes of those services; what it holds is made.
package findtest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"sync"
	"time"
)

// Tile is a raster that the services list.
type Tile struct {
	Name      string     // of its file below /files/, such as "Projects/A_2019/TIFF/x1.tif"
	Surface   string     // of the file of its first surface; "" without
	Box       [4]float64 // west, south, east, north; all 0 where the service tells none to be trusted
	Published string     // date
	Surveyed  string     // date, which only the STAC API tells
}

// Server plays services. Fill its fields before it is asked.
type Server struct {
	*httptest.Server
	Products []Tile            // of the product search, at /products
	Items    []Tile            // of the STAC API, at /stac
	Files    map[string][]byte // below /files/

	// Before may answer a request itself, n counting those of its path from 1; where it returns false the server does.
	Before func(w http.ResponseWriter, r *http.Request, n int) bool

	mu    sync.Mutex
	asked map[string]int
	given map[string]int64
}

// New starts a server, which its caller closes.
func New() *Server {
	s := &Server{Files: map[string][]byte{}, asked: map[string]int{}, given: map[string]int64{}}
	s.Server = httptest.NewServer(s)
	return s
}

// List is a list of services, as --services takes it, in which all are played by the server.
func (s *Server) List() []byte {
	return fmt.Appendf(nil, `sources:
  - {key: made-1m, name: Made product search, kind: tnm, address: '%[1]s/products', address_from: here, dataset: Made 1 meter, cells: 1m}
  - {key: made-stac, name: Made STAC API, kind: stac, address: '%[1]s/stac', address_from: here, collection: made, terrain: dtm, surface: dsm, cells: 1m}
  - {key: made-10m, name: Made seamless, address: '%[1]s/files/seamless.tif', address_from: here, cells: 10m, area: [[-125, 20, -60, 50]]}
`, s.URL)
}

// Asked is how often paths that begin so were asked for.
func (s *Server) Asked(prefix string) (n int) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for path, k := range s.asked {
		if strings.HasPrefix(path, prefix) {
			n += k
		}
	}
	return n
}

// Given is how many bytes were given of paths that begin so.
func (s *Server) Given(prefix string) (n int64) {
	s.mu.Lock()
	defer s.mu.Unlock()
	for path, k := range s.given {
		if strings.HasPrefix(path, prefix) {
			n += k
		}
	}
	return n
}

type counting struct {
	http.ResponseWriter
	n int64
}

func (c *counting) Write(p []byte) (int, error) {
	n, err := c.ResponseWriter.Write(p)
	c.n += int64(n)
	return n, err
}

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	s.mu.Lock()
	s.asked[r.URL.Path]++
	n := s.asked[r.URL.Path]
	s.mu.Unlock()
	c := &counting{ResponseWriter: w}
	if s.Before == nil || !s.Before(c, r, n) {
		s.answer(c, r)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.given[r.URL.Path] += c.n
}

func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	switch {
	case r.URL.Path == "/products":
		s.products(w, r)
	case r.URL.Path == "/stac" || r.URL.Path == "/stac/":
		write(w, map[string]any{"type": "Catalog", "stac_version": "1.0.0", "id": "made", "links": []any{
			map[string]any{"rel": "self", "href": s.URL + "/stac"},
			map[string]any{"rel": "search", "type": "application/geo+json", "href": s.URL + "/stac/search", "method": "GET"},
			map[string]any{"rel": "search", "type": "application/geo+json", "href": s.URL + "/stac/search", "method": "POST"},
		}})
	case r.URL.Path == "/stac/search":
		s.search(w, r)
	case strings.HasPrefix(r.URL.Path, "/files/"):
		data, ok := s.Files[strings.TrimPrefix(r.URL.Path, "/files/")]
		if !ok {
			http.NotFound(w, r)
			return
		}
		w.Header().Set("ETag", fmt.Sprintf(`"%d"`, len(data)))
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(data))
	default:
		http.NotFound(w, r)
	}
}

func write(w http.ResponseWriter, v any) {
	w.Header().Set("Content-Type", "application/json")
	_ = json.NewEncoder(w).Encode(v) // to a test, which sees what comes
}

// products answers a product search as the US elevation program does.
func (s *Server) products(w http.ResponseWriter, r *http.Request) {
	q := r.URL.Query()
	within := touching(s.Products, numbers(q.Get("bbox")))
	most, _ := strconv.Atoi(q.Get("max"))
	offset, _ := strconv.Atoi(q.Get("offset"))
	items := []any{}
	for _, t := range within[min(offset, len(within)):min(offset+most, len(within))] {
		items = append(items, map[string]any{
			"title": "Made 1 Meter " + t.Name, "sourceId": "0123", "publicationDate": t.Published, "lastUpdated": t.Published + "T00:00:00",
			"sizeInBytes": len(s.Files[t.Name]), "extent": "10000 x 10000 meter", "format": "GeoTIFF",
			"downloadURL": s.URL + "/files/" + t.Name, "urls": map[string]any{"TIFF": s.URL + "/files/" + t.Name},
			"boundingBox": map[string]any{"minX": t.Box[0], "minY": t.Box[1], "maxX": t.Box[2], "maxY": t.Box[3]},
		})
	}
	write(w, map[string]any{"total": len(within), "items": items, "errors": []any{}, "messages": []any{"Retrieved"}})
}

// search answers an item search as STAC APIs do, with a token in the body of the next question.
func (s *Server) search(w http.ResponseWriter, r *http.Request) {
	var q struct {
		BBox  [4]float64 `json:"bbox"`
		Limit int        `json:"limit"`
		Token int        `json:"token"`
	}
	if r.Method == http.MethodPost {
		if err := json.NewDecoder(r.Body).Decode(&q); err != nil {
			w.WriteHeader(http.StatusBadRequest)
			return
		}
	} else {
		q.BBox = numbers(r.URL.Query().Get("bbox"))
		q.Limit, _ = strconv.Atoi(r.URL.Query().Get("limit"))
		q.Token, _ = strconv.Atoi(r.URL.Query().Get("token"))
	}
	within := touching(s.Items, q.BBox)
	end := min(q.Token+q.Limit, len(within))
	features := []any{}
	for _, t := range within[min(q.Token, len(within)):end] {
		assets := map[string]any{"dtm": map[string]any{"href": s.URL + "/files/" + t.Name, "type": "image/tiff; application=geotiff; profile=cloud-optimized"}}
		if t.Surface != "" {
			assets["dsm"] = map[string]any{"href": "../files/" + t.Surface}
		}
		properties := map[string]any{"datetime": nil, "gsd": 1, "proj:epsg": 3979, "published": t.Published}
		if t.Surveyed != "" {
			properties["start_datetime"], properties["end_datetime"] = t.Surveyed+"T00:00:00Z", t.Surveyed+"T23:59:59Z"
		}
		features = append(features, map[string]any{
			"type": "Feature", "stac_version": "1.0.0", "id": t.Name, "bbox": t.Box, "geometry": nil, "properties": properties, "assets": assets, "collection": "made",
			"links": []any{map[string]any{"rel": "self", "href": s.URL + "/stac/item"}},
		})
	}
	links := []any{}
	if end < len(within) {
		next := map[string]any{"rel": "next", "method": "POST", "href": s.URL + "/stac/search", "body": map[string]any{"token": end}, "merge": true}
		if r.Method == http.MethodGet {
			v := r.URL.Query()
			v.Set("token", strconv.Itoa(end))
			next = map[string]any{"rel": "next", "href": "?" + v.Encode()}
		}
		links = append(links, next)
	}
	write(w, map[string]any{"type": "FeatureCollection", "features": features, "links": links, "numberMatched": len(within), "numberReturned": len(features)})
}

func touching(tiles []Tile, box [4]float64) (out []Tile) {
	for _, t := range tiles {
		if t.Box == [4]float64{} || t.Box[0] <= box[2] && t.Box[2] >= box[0] && t.Box[1] <= box[3] && t.Box[3] >= box[1] {
			out = append(out, t)
		}
	}
	return out
}

func numbers(text string) (out [4]float64) {
	for i, part := range strings.SplitN(text, ",", 4) {
		out[i], _ = strconv.ParseFloat(part, 64)
	}
	return out
}
