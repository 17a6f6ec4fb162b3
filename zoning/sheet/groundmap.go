package sheet

import (
	"image"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Pixels of relief in a point, and points in a pixel of a hatch tile.
const (
	reliefPx = 2.0
	hatchPt  = 0.5
)

// groundMap is the map of a sheet in layers, from the ground up. It is the same on
// paper, on a screen and in a message.
type groundMap struct {
	page  *Page
	frame drawing.Box
	plane plane
	v     *view

	reachM float64 // from north to south, of what is to be shown
	bands  []uint8 // of each pixel of relief, see bandImage

	base  []drawing.Shape // relief, tints and hatching, contours
	zones []zoneShape
	over  []drawing.Shape // boundaries, features and hazards
	key   []keyEntry      // of what over and the marks hold, beside the zones

	// elsewhere reports whether another inset shows a place; nil where there is none.
	elsewhere func(orb.Point) bool

	// thin counts signs that the last marks had no room for, by their words in the key.
	thin map[string]int

	contours []contourLine // those that bear a label
	interval relief.ContourInterval
}

// zoneShape is the outline of a zone, its numbers being told where it is touched.
type zoneShape struct {
	lot, zone int
	path      drawing.Path
}

const zoneLine = 0.6 // width of the lines between zones

// newGroundMap lays a map out in a frame whose upper left corner is the origin.
func newGroundMap(p *Page, t totals, width, height float64) (*groundMap, error) {
	pl, ok := planeOf(p.Grid.Frame, p.Map)
	if !ok {
		return nil, errNoGround
	}
	m := &groundMap{page: p, frame: drawing.Box{Right: width, Bottom: height}, plane: pl}
	m.v = m.view()
	m.outlines()
	m.boundaries(t)
	if err := m.chooseContours(); err != nil {
		return nil, err
	}
	m.features()
	m.hazards()
	return m, nil
}

// paint draws the ground itself, which takes the most time and no part in the key.
func (m *groundMap) paint() error {
	if err := m.relief(); err != nil {
		return err
	}
	m.hatch()
	return m.contour()
}

// view fits the lots, and what of the ways in lies near them, into the frame.
func (m *groundMap) view() *view {
	pl := m.plane
	west, east, south, north := -pl.halfW, pl.halfW, -pl.halfH, pl.halfH
	reach := nearBy * math.Max(pl.halfW, pl.halfH)
	for _, b := range m.page.onTheWay() {
		for _, c := range []orb.Point{b.Min, b.Max} {
			x, y := (pl.frame.Near(c[0])-pl.lon0)*pl.perLon, (c[1]-pl.lat0)*pl.perLat
			if math.Abs(x) < pl.halfW+reach && math.Abs(y) < pl.halfH+reach {
				west, east, south, north = min(west, x), max(east, x), min(south, y), max(north, y)
			}
		}
	}
	pl.lon0, pl.lat0 = pl.lon0+(west+east)/2/pl.perLon, pl.lat0+(south+north)/2/pl.perLat
	v := &view{plane: pl, w: int(m.frame.Right * reliefPx), h: int(m.frame.Bottom * reliefPx)}
	wide, tall := max(east-west, 2*leastReach), max(north-south, 2*leastReach)
	m.reachM = (1 + 2*around) * tall
	v.metres = max((1+2*around)*wide/float64(v.w), m.reachM/float64(v.h))
	return v
}

// nearBy is how far from the lots, in parts of their greater half, an unload point or
// a way in may lie to be shown.
const nearBy = 0.7

// at is where a place lies on the map.
func (m *groundMap) at(p orb.Point) drawing.Point {
	x, y := m.v.pixel(p)
	return drawing.Point{X: x / reliefPx, Y: y / reliefPx}
}

// relief paints the ground with the tints of its zones.
func (m *groundMap) relief() error {
	ps := paintsFor(len(m.page.Map.Fleet))
	for k := range ps.kinds {
		ps.kinds[k].tile = &tile{} // lines hatch it
	}
	m.bands = bandImage(m.v, m.page.Map)
	img := image.NewPaletted(image.Rect(0, 0, m.v.w, m.v.h), ps.palette())
	lit, err := relief.Shade(m.page.Grid, int(m.v.cellsPerPixel()))
	if err != nil {
		return err
	}
	inRows(m.v.h, func(from, to int) { ps.paint(img, image.Point{}, m.v, from, to, lit, m.bands) })
	m.base = append(m.base, drawing.Picture{Box: m.frame, Image: img})
	return nil
}

// band is one more than the band at a point, 0 outside the lots.
func (m *groundMap) band(p drawing.Point) int {
	x, y := int(p.X*reliefPx), int(p.Y*reliefPx)
	if p.X < 0 || p.Y < 0 || x >= m.v.w || y >= m.v.h {
		return 0
	}
	return int(m.bands[y*m.v.w+x])
}

func (m *groundMap) hatch() {
	n := len(m.page.Map.Fleet)
	seen := make([]bool, n+palette.Rest+1)
	for _, b := range m.bands {
		seen[b] = true
	}
	for b := range n + palette.Rest {
		if !seen[b+1] {
			continue
		}
		h := hatchingOf(b, n)
		m.base = append(m.base, drawing.Path{
			Lines:  h.in(m.frame, hatchPt, func(p drawing.Point) bool { return m.band(p) == b+1 }),
			Stroke: drawing.Solid(palette.GroundOf(b, n).Hatch), Width: h.widthPx * hatchPt,
		})
	}
}

func (m *groundMap) outlines() {
	for l, lot := range m.page.Map.Lots {
		for z, zone := range lot.Zones {
			lines, closed := m.rings(zone.Ground)
			m.zones = append(m.zones, zoneShape{l, z, drawing.Path{
				Lines: lines, Closed: closed, Stroke: drawing.Solid(palette.Ink), Width: zoneLine,
			}})
		}
	}
}

// boundaries draws the lots' lines, cased in white to stand out on any ground.
func (m *groundMap) boundaries(t totals) {
	weight := t.lineWeight(m.v.metres)
	var rings, open [][]drawing.Point
	for _, o := range outlinesOf(m.page.Map) {
		if m.page.inPart != nil {
			o = m.page.inPart(o)
		}
		if lines, closed := m.rings(o); closed {
			rings = append(rings, lines...)
		} else {
			open = append(open, lines...)
		}
	}
	for _, path := range []drawing.Path{
		{Stroke: drawing.Paint{Colour: palette.Paper, Opacity: 0.9}, Width: casingHalf * weight},
		{Stroke: drawing.Solid(palette.Ink), Width: strongHalf * weight},
	} {
		if rings != nil || open == nil {
			m.over = append(m.over, drawing.Path{Lines: rings, Closed: true, Stroke: path.Stroke, Width: path.Width})
		}
		if open != nil {
			m.over = append(m.over, drawing.Path{Lines: open, Stroke: path.Stroke, Width: path.Width})
		}
	}
	m.explain(keyEntry{words: "Boundary", more: m.page.boundaryWords(), swatch: stroked(swatchLine(),
		drawing.Path{Stroke: drawing.Solid(palette.Ink), Width: strongHalf})})
	if m.page.numbered {
		m.explain(keyEntry{words: "Lots by number", more: numberWords})
	}
}
