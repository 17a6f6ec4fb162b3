package page

import (
	"bytes"
	"context"
	"io"
	"math"
	"net/http"
	"strconv"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/sheet"
)

// numbers reads finite numbers of a query, all of which must be there.
func numbers(r *http.Request, into map[string]*float64) error {
	q := r.URL.Query()
	for name, v := range into {
		n, err := strconv.ParseFloat(q.Get(name), 64)
		if err != nil || math.IsNaN(n) || math.IsInf(n, 0) {
			return refuse(http.StatusBadRequest, "%s=%q is no number", name, q.Get(name))
		}
		*v = n
	}
	return nil
}

// Bounds of a view: dots along a side, metres in a dot, and how far from where its
// plane touches the ground.
const (
	mostSide   = 4096
	finestDotM = 0.01
	coarsestM  = 50_000
	farthestM  = 20_000_000
)

// viewOf reads which view of a plane is asked for: x and y its middle in metres, m
// the metres in a dot, w and h its sides in dots.
func (s *Server) viewOf(r *http.Request, p sheet.Plane) (sheet.View, error) {
	v := sheet.View{Plane: p}
	var width, height float64
	err := numbers(r, map[string]*float64{"x": &v.XM, "y": &v.YM, "m": &v.MetresPerDot, "w": &width, "h": &height})
	if err != nil {
		return v, err
	}
	fits := width >= 1 && height >= 1 && width <= mostSide && height <= mostSide && width*height <= float64(s.config.Limits.PictureDots) &&
		v.MetresPerDot >= finestDotM && v.MetresPerDot <= coarsestM && math.Abs(v.XM) <= farthestM && math.Abs(v.YM) <= farthestM
	if !fits {
		return v, refuse(http.StatusBadRequest, "a view of %g × %g dots of %g m cannot be drawn", width, height, v.MetresPerDot)
	}
	v.Width, v.Height = int(width), int(height)
	return v, nil
}

// groundView answers with a view of a map's zones on relief. only=KEY leaves the
// bands but one plain; walk=1 draws dots on what is to be walked or sighted first, view=limits shows a planned
// map by limits, and view=other any map in the other state of the ground, where nothing tells what is to
// be walked first.
func (s *Server) groundView(w http.ResponseWriter, r *http.Request) {
	s.send(w, r, func(ctx context.Context, to io.Writer) (string, error) {
		g, done, err := s.shelf.use(r.PathValue("id"))
		if err != nil {
			return "", err
		}
		defer done()
		result := g.latest()
		zm, sees := result.Map, r.URL.Query().Get("view")
		if sees == otherState {
			if result, zm, err = s.inOtherState(ctx, g); err != nil {
				return "", err
			}
		}
		g.reading.RLock()
		defer g.reading.RUnlock()
		v, err := s.viewOf(r, result.plane)
		if err != nil {
			return "", err
		}
		only := sheet.AllBands
		if key := r.URL.Query().Get("only"); key != "" {
			if only = bandNamed(result.Map.Fleet, key); only < 0 {
				return "", refuse(http.StatusBadRequest, "there is no zone %q", key)
			}
		}
		if sees == zoning.ByLimits.String() {
			zm = zm.ByLimits()
		}
		var sure []float64
		if r.URL.Query().Get("walk") != "" && sees != otherState && zm.Error.SigmaM > 0 {
			sure = mapping.SurePct(zm.Error.Slope, zm.Fleet)
		}
		paint := func(around []*sheet.Painter) error { return result.painter.PaintAmong(to, zm, v, only, sure, around) }
		if holds(result.Ground.Elevation.Grid, v) {
			return pngType, paint(nil)
		}
		painting := false
		err = s.backdrop.among(ctx, v, func(around []*sheet.Painter) error { painting = true; return paint(around) })
		if err != nil && !painting && ctx.Err() == nil {
			s.log.Warn("the ground around a map is not shown", "error", err)
			err = paint(nil) // what was mapped is kept
		}
		return pngType, err
	})
}

// holds reports whether a grid reaches beyond a view on all sides.
func holds(g *terrain.Grid, v sheet.View) bool {
	for _, p := range edgeOf(v) {
		c, r := g.Frame.Cell(p[0], p[1])
		if !(c > float64(g.Col0) && r > float64(g.Row0) && c < float64(g.Col0+g.Cols) && r < float64(g.Row0+g.Rows)) {
			return false
		}
	}
	return true
}

const pngType = "image/png"

// bandNamed is the place of a band, -1 where there is none.
func bandNamed(fleet zoning.Fleet, key string) int {
	for i, b := range fleet.Bands() {
		if b.Key == key {
			return i
		}
	}
	return -1
}

// swatch answers with a sample of a band.
func (s *Server) swatch(w http.ResponseWriter, r *http.Request) {
	band := bandNamed(s.config.Fleet, r.PathValue("band"))
	if band < 0 {
		s.fail(w, r, refuse(http.StatusNotFound, "there is no zone %q", r.PathValue("band")))
		return
	}
	w.Header().Set("Content-Type", pngType)
	_, _ = w.Write(s.swatches[band]) // a client that left reads nothing
}

// swatchesOf paints a sample of every band of a fleet.
func swatchesOf(fleet zoning.Fleet) ([][]byte, error) {
	const width, height = 240, 96 // a wedge on a card is cut out of it
	var all [][]byte
	for band := range fleet.Bands() {
		var b bytes.Buffer
		if err := sheet.Swatch(&b, band, len(fleet), width, height); err != nil {
			return nil, err
		}
		all = append(all, b.Bytes())
	}
	return all, nil
}

// relief answers with a view of the elevation without a map.
func (s *Server) relief(w http.ResponseWriter, r *http.Request) {
	v, err := s.viewOf(r, s.backdrop.plane)
	if err != nil {
		s.fail(w, r, err)
		return
	}
	s.send(w, r, func(ctx context.Context, to io.Writer) (string, error) { return pngType, s.backdrop.paint(ctx, to, v) })
}
