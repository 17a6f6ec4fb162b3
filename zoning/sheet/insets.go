package sheet

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// jobMap is the map of a sheet in its frame: one of all ground or, where parts of it lie far
// apart, a small one of all and an inset of each part.
type jobMap struct {
	page  *Page
	plane plane
	frame drawing.Box
	parts []part // nil where there are no insets

	panes   []*pane
	overall *pane // where the parts lie; nil without insets, and where there is no room for it
	key     []keyEntry
}

// pane is a map in its place in the frame.
type pane struct {
	*groundMap
	at    drawing.Point // its upper left corner
	title string        // of an inset; "" for the only map
}

// newJobMap lays a map out in a frame whose upper left corner is the origin.
func newJobMap(p *Page, t totals, width, height float64) (*jobMap, error) {
	pl, ok := planeOf(p.Grid.Frame, p.Map)
	if !ok {
		return nil, errNoGround
	}
	j := &jobMap{page: p, plane: pl, frame: drawing.Box{Right: width, Bottom: height}, parts: pl.partsOf(p.Map)}
	if j.parts == nil {
		m, err := newGroundMap(p, t, width, height)
		if err != nil {
			return nil, err
		}
		j.panes = []*pane{{groundMap: m}}
		return j, nil
	}
	return j, j.layInsets(t)
}

// layInsets makes a pane of each part, and one of all.
func (j *jobMap) layInsets(t totals) error {
	overall, insets, _ := j.boxes()
	add := func(p *Page, box drawing.Box, title string) (*pane, error) {
		m, err := newGroundMap(p, t, box.Width(), box.Height())
		if err != nil {
			return nil, err
		}
		return &pane{m, drawing.Point{X: box.Left, Y: box.Top}, title}, nil
	}
	if overall.Width() >= overallLeast {
		whole := Page{Map: j.page.Map, Grid: j.page.Grid}
		var err error
		if j.overall, err = add(&whole, overall, ""); err != nil {
			return err
		}
	}
	for i, box := range insets {
		here := *j.page
		here.Map = j.plane.within(j.page.Map, j.parts[i])
		here.inPart = func(g orb.MultiPolygon) orb.MultiPolygon { return j.plane.groundIn(g, j.parts[i]) }
		p, err := add(&here, box, j.partTitle(t, i))
		if err != nil {
			return err
		}
		p.elsewhere = func(at orb.Point) bool { return j.shownBeside(p, at) }
		j.panes = append(j.panes, p)
	}
	return nil
}

// partTitle names a part and tells its acres.
func (j *jobMap) partTitle(t totals, i int) string {
	acres := 0.0
	for _, lot := range j.page.Map.Lots {
		for _, z := range lot.Zones {
			acres += coverage.Acres(j.plane.groundIn(z.Ground, j.parts[i]))
		}
	}
	return fmt.Sprintf("Part %s: %s", partLetter(i), t.areaText(acres))
}

func partLetter(i int) string { return string(rune('A' + i)) }

// shownBeside reports whether another pane than p shows a place.
func (j *jobMap) shownBeside(p *pane, at orb.Point) bool {
	for _, q := range j.panes {
		if q != p && q.frame.Has(q.groundMap.at(at)) {
			return true
		}
	}
	return false
}

// paint draws the ground of all panes.
func (j *jobMap) paint() error {
	for _, p := range j.panes {
		if err := p.paint(); err != nil {
			return err
		}
	}
	if j.overall != nil {
		return j.overall.relief()
	}
	return nil
}

// fit lays the map out anew in a frame of another size, to see how it would look: how many
// metres a pixel has, where it is smallest, and how tall a frame the ground needs.
func (j *jobMap) fit(width, tall float64) (metres, needs float64) {
	j.frame = drawing.Box{Right: width, Bottom: tall}
	if j.parts == nil {
		m := j.panes[0].groundMap
		m.frame = j.frame
		v := m.view()
		return v.metres, m.reachM / v.metres / reliefPx
	}
	_, _, metres = j.boxes()
	return metres / reliefPx, tall
}

// layered are the shapes of all panes, each in its place, that layer gives.
func (j *jobMap) layered(layer func(p *pane) []drawing.Shape) []drawing.Shape {
	var out []drawing.Shape
	for _, p := range j.panes {
		out = append(out, drawing.Moved(layer(p), p.at)...)
	}
	return out
}

// base is the ground under zones, with the map of where parts lie.
func (j *jobMap) base() []drawing.Shape {
	out := j.layered(func(p *pane) []drawing.Shape { return p.base })
	if o := j.overall; o != nil {
		out = append(out, drawing.Moved(slices.Concat(o.base, o.over), o.at)...)
	}
	return out
}

// marks are places and words over the ground at a scale of text, and what goes with insets.
func (j *jobMap) marks(text float64) []drawing.Shape {
	out := j.layered(func(p *pane) []drawing.Shape {
		if p.title == "" {
			return p.marks(text)
		}
		return append(append(p.marks(text), p.heading(text)), p.bar(text)...)
	})
	if o := j.overall; o != nil {
		out = append(out, drawing.Moved(append(o.partMarks(j.parts, text), o.bar(text)...), o.at)...)
	}
	j.explainAll()
	return out
}

// heading writes above an inset which part it is.
func (p *pane) heading(text float64) drawing.Shape {
	return drawing.Text{At: drawing.Point{Y: -0.3 * partSize * text}, Size: partSize * text, Bold: true, Colour: palette.Ink, Words: p.title}
}

// partMarks are the letters of parts where they lie on the map of all, a ring round what is
// too small to see.
func (p *pane) partMarks(parts []part, text float64) []drawing.Shape {
	size := partSize * text
	r := room{within: p.frame.Inset(1)}
	perPoint := p.v.metres * reliefPx
	var out []drawing.Shape
	var boxes []drawing.Box
	pl := p.plane
	for _, a := range parts {
		middle := p.groundMap.at(orb.Point{pl.lon0 + (a.west+a.east)/2/pl.perLon, pl.lat0 + (a.south+a.north)/2/pl.perLat})
		b := drawing.Around(middle, max((a.east-a.west)/perPoint, 3)+4, max((a.north-a.south)/perPoint, 3)+4)
		boxes, r.taken = append(boxes, b), append(r.taken, b)
		out = append(out, drawing.Path{Lines: [][]drawing.Point{b.Ring()}, Closed: true, Stroke: drawing.Solid(palette.Ink), Width: 0.8})
	}
	for _, s := range p.page.Map.Access.Staging {
		if at := p.groundMap.at(s); r.take(drawing.Around(at, 12*text, 12*text)) {
			out = append(out, letterSign(at, text, "U")...)
		}
	}
	for i, b := range boxes {
		l := []string{partLetter(i)}
		w, h := plateSize(size, 1, l)
		for _, away := range []float64{max(b.Width(), b.Height())/2 + 1, max(b.Width(), b.Height())/2 + h} {
			if at, ok := r.beside(b.Middle(), away, w, h); ok {
				out = append(out, plate(at, size, 1, l)...)
				break
			}
		}
	}
	return out
}

// bar is the scale bar below a pane.
func (p *pane) bar(text float64) []drawing.Shape {
	c := &column{page: &drawing.Page{}, y: p.frame.Bottom + 2, width: p.frame.Width(), scale: min(text, 1.2)}
	scaleBar(c, reliefPx*p.v.metres, insetBarMost, p.page.Map.Units)
	return c.page.Shapes
}

// explainAll gathers what the panes' keys explain, and what none of them can show.
func (j *jobMap) explainAll() {
	all := &groundMap{page: j.page}
	var hidden []unseen
	for _, p := range j.panes {
		for _, e := range p.key {
			all.explain(e)
		}
		if j.parts != nil {
			hidden = append(hidden, p.unseen()...)
		}
	}
	all.tellUnseen(totalsOf(j.page.Map), hidden)
	j.key = all.key
}

// signs are all that the map's key explains.
func (j *jobMap) signs(t totals) []keyEntry {
	var thin []map[string]int
	for _, p := range j.panes {
		thin = append(thin, p.thin)
	}
	return append(zoneKey(t, j.page.Map.Fleet, j.page.Map.View), thinned(j.key, thin...)...)
}

// shapes are a whole map with marks and words, and a frame round each pane.
func (j *jobMap) shapes(marks []drawing.Shape) []drawing.Shape {
	out := j.base()
	out = append(out, j.layered(func(p *pane) (zones []drawing.Shape) {
		for _, z := range p.zones {
			zones = append(zones, z.path)
		}
		return append(zones, p.over...)
	})...)
	return append(append(out, marks...), j.frames()...)
}

// frames are the lines round panes.
func (j *jobMap) frames() []drawing.Shape {
	line := func(p *pane) []drawing.Shape {
		return []drawing.Shape{drawing.Path{Lines: [][]drawing.Point{p.frame.Ring()}, Closed: true, Stroke: drawing.Solid(palette.Ink), Width: 0.7}}
	}
	out := j.layered(line)
	if o := j.overall; o != nil {
		out = append(out, drawing.Moved(line(o), o.at)...)
	}
	return out
}

// bars writes the scale bar and the north arrow below the map; insets have their own bars.
func (j *jobMap) bars(c *column) {
	if j.parts == nil {
		j.panes[0].bars(c)
		return
	}
	northNote(c, j.panes[0].gridNorth())
	c.y += barsTall
}
