package read

import (
	"errors"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning/site"
)

// feature makes site features of a feature of the file, one for each sort of
// shape in it.
func (r *siteReader) feature(l *layer, f *feature, kind site.Kind, value func(string) string) error {
	if f.err != nil {
		return f.err
	}
	say := value
	if r.all != "" {
		say = func(a string) string {
			if kind.Takes(a) {
				return value(a)
			}
			return ""
		}
	}
	made, err := site.Describe(kind, say)
	if err != nil {
		return err
	}
	made.Place = r.place
	c, err := r.crsOf(l)
	if err != nil {
		return err
	}
	shapes, notes, err := r.shapes(c, l, f, kind)
	if err != nil {
		return err
	}
	for i, g := range shapes {
		if err := kind.Fits(g); err != nil {
			return err
		}
		made.Geometry, made.Notes = g, nil
		if i == 0 {
			made.Notes = notes
		}
		r.found = append(r.found, made)
	}
	return nil
}

// shapes takes a feature's points, lines and polygons to longitude and latitude.
func (r *siteReader) shapes(c *crs, l *layer, f *feature, kind site.Kind) (shapes []orb.Geometry, notes []string, err error) {
	s := sortOut(f.geometry)
	if len(s.polygons)+len(s.loops)+len(s.lines)+len(s.points) == 0 {
		return nil, nil, errors.New("has no geometry that can be read: draw it, or take it out")
	}
	asArea := kind.NeedsArea() || kind == site.Staging
	if r.format.walked && asArea && len(s.lines)+len(s.loops) > 0 {
		return r.walked(c, l, f)
	}
	if asArea {
		for _, loop := range s.loops {
			s.polygons = append(s.polygons, orb.Polygon{loop})
			notes = append(notes, "drawn as a closed line, taken for a polygon")
		}
	} else {
		for _, loop := range s.loops {
			s.lines = append(s.lines, orb.LineString(loop))
		}
	}
	if r.all != "" {
		r.leaveOut(&s)
	}
	if len(s.polygons) > 0 {
		m, err := c.ground(s.polygons, mending{DefaultRepair, r.units})
		if err != nil {
			return nil, nil, err
		}
		if f.curved {
			m.notes = append(m.notes, "its arcs are taken as chords of half a degree")
		}
		shapes, notes = append(shapes, m.ground), append(notes, m.notes...)
	}
	if len(s.lines) > 0 {
		lines, err := c.lines(s.lines)
		if err != nil {
			return nil, nil, err
		}
		shapes = append(shapes, lines)
	}
	if len(s.points) > 0 {
		points, err := c.points(s.points)
		if err != nil {
			return nil, nil, err
		}
		shapes = append(shapes, points)
	}
	return shapes, notes, nil
}

// leaveOut takes out what staging and travel cannot be drawn as, where a file
// says nothing else of its shapes.
func (r *siteReader) leaveOut(s *shapes) {
	r.unused.lines += len(s.lines)
	s.lines = nil
	if r.all == site.Travel {
		r.unused.points += len(s.points)
		s.points = nil
	}
}

// walked makes ground of a track or a route of a GPX file. Where every shape is
// meant to be of one kind, one that does not come back to its start is the way
// there, and left out.
func (r *siteReader) walked(c *crs, l *layer, f *feature) ([]orb.Geometry, []string, error) {
	stretches, _ := stretchesOf(f.geometry)
	w := walkOf(l, stretches, 0, r.units)
	if r.all != "" && !w.closes() {
		r.unused.lines++
		return nil, nil, nil
	}
	m, err := w.ground(c, mending{DefaultRepair, r.units})
	if err != nil {
		return nil, nil, err
	}
	return []orb.Geometry{m.ground}, m.notes, nil
}
