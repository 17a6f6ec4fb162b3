package page

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
)

// Output is a file of a result that may be taken away.
type Output struct {
	Name  string // of the file, and in addresses
	Type  string // its media type
	Words string // what it is, for people
	Write func(io.Writer, *Result) error
	// Has tells whether a result has it; nil where every one does.
	Has func(*Result) bool
}

// Outputs are the files that a page offers unless it is told others.
func Outputs() []Output {
	return []Output{
		{Name: "zones.png", Type: "image/png", Words: "picture of the map, to print or send", Write: func(w io.Writer, r *Result) error {
			return sheet.Picture(w, r.Ground.Elevation.Grid, r.Map)
		}},
		{Name: "zones.geojson", Type: "application/geo+json", Words: "outlines of the zones with their acres, for other map programs", Write: func(w io.Writer, r *Result) error {
			return zoning.WriteGeoJSON(w, r.Map)
		}},
	}
}

// drawn is what was drawn on a page, as a site file.
var drawn = Output{Name: siteFile, Type: "application/geo+json", Words: "the staging and no-go drawn here, for the next map",
	Write: func(w io.Writer, r *Result) error {
		_, err := w.Write(r.Site)
		return err
	},
	Has: func(r *Result) bool { return len(r.Ground.Features) > 0 }}

func (o Output) of(r *Result) bool { return o.Has == nil || o.Has(r) }

// file answers with one of the outputs. It is whole before the first byte goes out.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	g, err := s.shelf.get(r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	for _, o := range s.config.Outputs {
		result := g.latest()
		if o.Name != r.PathValue("name") || !o.of(result) {
			continue
		}
		w.Header().Set("Content-Disposition", fmt.Sprintf("attachment; filename=%q", o.Name))
		s.send(w, r, o.Type, func(to io.Writer) error { return o.Write(to, result) })
		return
	}
	s.fail(w, r, refuse(http.StatusNotFound, "this map has no file %q", r.PathValue("name")))
}

// send writes a body on one of the threads, and then out.
func (s *Server) send(w http.ResponseWriter, r *http.Request, media string, write func(io.Writer) error) {
	ctx, cancel := context.WithTimeout(r.Context(), s.config.Limits.Time)
	defer cancel()
	body, err := on(ctx, s.threads, func() ([]byte, error) {
		var b bytes.Buffer
		err := write(&b)
		return b.Bytes(), err
	})
	if err != nil {
		w.Header().Del("Content-Disposition")
		s.fail(w, r, err)
		return
	}
	w.Header().Set("Content-Type", media)
	_, _ = w.Write(body) // a client that left reads nothing
}

// spot explains one spot of a map in words.
func (s *Server) spot(w http.ResponseWriter, r *http.Request) {
	g, err := s.shelf.get(r.PathValue("id"))
	if err != nil {
		s.fail(w, r, err)
		return
	}
	var at [2]float64
	if err := numbers(r, map[string]*float64{"lon": &at[0], "lat": &at[1]}); err != nil {
		s.fail(w, r, err)
		return
	}
	result := g.latest()
	words, err := result.Ground.Why(result.Map, at)
	if err != nil {
		s.fail(w, r, unusable(err))
		return
	}
	s.reply(w, r, struct {
		Words []string `json:"words"`
	}{words})
}
