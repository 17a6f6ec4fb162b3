package page

import (
	"math"
	"net/http"
	"strings"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// linesOf is what people find their way by on a view of a map: contours, and what the site
// files hold of roads, water and the like.
type linesOf struct {
	Every    string      `json:"every"` // rise from contour to contour; "" without any
	EveryM   float64     `json:"everyM"`
	Contours []contourOf `json:"contours"`
	Features []placeOf   `json:"features"`
	More     bool        `json:"more"` // features that are left out, since there are too many
}

type contourOf struct {
	Label string       `json:"label"`
	Index bool         `json:"index"`
	Line  [][2]float64 `json:"line"` // meters east and north of the plane's spot
}

// placeOf is a feature: lines, rings that are closed, or one spot.
type placeOf struct {
	Kind  site.Kind  `json:"kind"`
	Name  string     `json:"name"`
	Area  bool       `json:"area"`
	Lines [][]lonLat `json:"lines"`
}

// toFindTheWayBy are the kinds of features that people see on the ground, or are shown here for
// their own sake.
var toFindTheWayBy = map[site.Kind]bool{
	site.Road: true, site.Path: true, site.Railway: true, site.Water: true, site.Building: true, site.OverheadLine: true, site.Tower: true,
	site.Gate: true, site.Bridge: true, site.Edge: true, site.Pipeline: true,
}

// mostCorners is how many corners of features a view shows.
const mostCorners = 50_000

// lines answers with the lines of a view of a map.
func (s *Server) lines(w http.ResponseWriter, r *http.Request) {
	ofRead(s, w, r, func(result *Result) (*linesOf, error) {
		v, err := s.viewOf(r, result.plane)
		if err != nil {
			return nil, err
		}
		return tellLines(result, v)
	})
}

func tellLines(result *Result, v sheet.View) (*linesOf, error) {
	c, err := result.painter.Contours(result.Map, v)
	if err != nil {
		return nil, err
	}
	out := &linesOf{Contours: []contourOf{}, Features: []placeOf{}}
	if c.Interval.Step > 0 {
		out.EveryM = c.Interval.StepM()
		out.Every = text.Grouped(c.Interval.Step, 0) + " " + c.Interval.Unit
	}
	for _, l := range c.Lines {
		for i, p := range l.Line {
			l.Line[i] = [2]float64{math.Round(p[0]*100) / 100, math.Round(p[1]*100) / 100}
		}
		out.Contours = append(out.Contours, contourOf{l.Label, l.Index, l.Line})
	}
	out.features(result.Ground.Features, v)
	return out, nil
}

// features adds what the site files hold in a view, without corners that no dot tells apart.
func (o *linesOf) features(all []site.Feature, v sheet.View) {
	halfW, halfH := float64(v.Width)/2*v.MetresPerDot, float64(v.Height)/2*v.MetresPerDot
	box := orb.Bound{
		Min: orb.Point{v.Lon + (v.XM-halfW)/v.LonM, v.Lat + (v.YM-halfH)/v.LatM},
		Max: orb.Point{v.Lon + (v.XM+halfW)/v.LonM, v.Lat + (v.YM+halfH)/v.LatM},
	}
	corners := 0
	for _, f := range all {
		if !toFindTheWayBy[f.Kind] || f.Geometry == nil || !box.Intersects(f.Geometry.Bound()) {
			continue
		}
		shape := orb.Clone(f.Geometry)
		if shape.Dimensions() > 0 {
			shape = simplify.DouglasPeucker(v.MetresPerDot / v.LatM).Simplify(shape)
		}
		p := placeOf{Kind: f.Kind, Name: strings.TrimSpace(text.OneLine(f.Name)), Area: shape.Dimensions() == 2, Lines: partsOf(shape)}
		for _, l := range p.Lines {
			corners += len(l)
		}
		if corners > mostCorners {
			o.More = true
			return
		}
		o.Features = append(o.Features, p)
	}
}

// partsOf are the lines and rings of a shape, and its spots as lines of one.
func partsOf(shape orb.Geometry) (out [][]lonLat) {
	zoning.EachLine(shape, func(line []orb.Point) {
		l := make([]lonLat, len(line))
		for i, p := range line {
			l[i] = lonLat(p)
		}
		if len(l) > 0 {
			out = append(out, l)
		}
	})
	return out
}
