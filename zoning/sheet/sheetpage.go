package sheet

import (
	"errors"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/text"
)

// Page is the sheet of a job: two or three pages of paper, the same as a page of HTML, and a
// map for messages. It takes results as they are and computes nothing about the
// ground again. Its methods may be called at once from several goroutines.
type Page struct {
	Map  *zoning.ZoneMap
	Grid *terrain.Grid // the window of elevation that Map was made on

	Plan      *plan.Plan     // nil where none was made
	Checks    *field.Checks  // nil where none were picked
	Features  []site.Feature // what is on the site, as it was given
	Emergency Emergency

	Crew  bool   // leaves prices and costs out
	Paper Paper  // "" is Letter
	Date  string // of the sheet, as its reader is to see it; "" leaves it out

	dangers  []danger
	numbered bool // some lot goes by its number, see legible
	// inPart is what of an outline lies in the part that an inset shows; nil takes all.
	inPart func(orb.MultiPolygon) orb.MultiPolygon
}

// Emergency is where help is to come. What is not given is left to be filled in by
// hand.
type Emergency struct {
	At    *orb.Point
	Words string // address, way in, whom to call
}

// Paper is a size of paper.
type Paper string

// Papers.
const (
	Letter Paper = "letter"
	A4     Paper = "a4"
)

// paperOf reads the name of a paper.
func paperOf(word string) (Paper, error) {
	switch p := Paper(strings.ToLower(word)); p {
	case Letter, A4:
		return p, nil
	}
	return "", fmt.Errorf("%q is no paper that the sheet is set for; write letter or a4", word)
}

// size is the paper's in points: ISO 216, and 8½ × 11 in.
func (p Paper) size() (width, height float64) {
	if p == A4 {
		return 210 / 25.4 * 72, 297 / 25.4 * 72
	}
	return 612, 792
}

// ready is a copy of the page with what all three forms need, once it is checked. Where
// it is drawn in the fonts of [drawing], lots go by names in their letters; in HTML only
// those on its map do.
func (p *Page) ready(drawn bool) (*Page, totals, error) {
	if p == nil {
		return nil, totals{}, errNoLot
	}
	if err := checkLots(p.Map); err != nil {
		return nil, totals{}, err
	}
	if p.Grid == nil {
		return nil, totals{}, errors.New("the sheet has no elevation to draw; give it the grid that the zones were mapped on")
	}
	if err := p.Grid.Check(); err != nil {
		return nil, totals{}, err
	}
	if err := p.checkParts(); err != nil {
		return nil, totals{}, err
	}
	if p.Paper != "" {
		if _, err := paperOf(string(p.Paper)); err != nil {
			return nil, totals{}, err
		}
	}
	q := *p
	spelled, numbered := legible(p.Map)
	if q.numbered = numbered; drawn {
		q.Map = spelled
	}
	t := totalsOf(q.Map)
	q.dangers = q.worst(t)
	return &q, t, nil
}

// onTheWay are the bounds of the places where trailers unload and of ground that
// machines cross on their way in.
func (p *Page) onTheWay() []orb.Bound {
	var out []orb.Bound
	for _, s := range p.Map.Access.Staging {
		out = append(out, s.Bound())
	}
	for _, f := range p.Features {
		if f.Kind == site.Travel {
			out = append(out, f.Geometry.Bound())
		}
	}
	return out
}

// boundaryWords tell how well the boundary is known, without where that is from.
func (p *Page) boundaryWords() string {
	if p.Map.Boundary == "" {
		return "how good the line is was not said: flag it first"
	}
	words, _, _ := strings.Cut(text.OneLine(p.Map.Boundary), " (")
	return words
}

// degreesText writes a place to about a metre.
func degreesText(p orb.Point) string {
	ns, ew := "N", "E"
	lat, lon := p[1], p[0]
	if lat < 0 {
		ns, lat = "S", -lat
	}
	if lon < 0 {
		ew, lon = "W", -lon
	}
	return fmt.Sprintf("%.5f %s, %.5f %s", lat, ns, lon, ew)
}

// feetText writes metres as whole feet, and miles from half a mile up; or as metres, and kilometres
// from one up.
func feetText(u measure.Units, m float64) string {
	switch {
	case u == measure.Metric && m >= 1000:
		return fmt.Sprintf("%.1f km", m/1000)
	case u == measure.Metric:
		return u.Length(m)
	}
	ft := m / zoning.MetresPerFoot
	if ft >= 2640 {
		return fmt.Sprintf("%.1f mi", ft/5280)
	}
	return grouped(ft, 0) + " ft"
}

// limitNumber is a limit without its sign.
func limitNumber(v float64) string { return strings.TrimSuffix(limitText(v), "%") }
