package read

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// shapes is a geometry sorted by what a boundary can use of it.
type shapes struct {
	polygons orb.MultiPolygon
	loops    []orb.Ring       // closed lines of at least four points
	lines    []orb.LineString // those that are no such loops
	points   orb.MultiPoint
}

func sortOut(g orb.Geometry) (s shapes) {
	s.add(g)
	return s
}

func (s *shapes) add(g orb.Geometry) {
	switch g := g.(type) {
	case orb.Point:
		s.points = append(s.points, g)
	case orb.MultiPoint:
		s.points = append(s.points, g...)
	case orb.LineString:
		if len(g) >= 4 && g[0] == g[len(g)-1] {
			s.loops = append(s.loops, orb.Ring(g))
		} else if len(g) > 0 {
			s.lines = append(s.lines, g)
		}
	case orb.MultiLineString:
		for _, l := range g {
			s.add(l)
		}
	case orb.Polygon:
		if len(g) > 0 && len(g[0]) > 0 {
			s.polygons = append(s.polygons, g)
		}
	case orb.MultiPolygon:
		for _, p := range g {
			s.add(p)
		}
	case orb.Collection:
		for _, m := range g {
			s.add(m)
		}
	}
}

// tally counts what a file holds beside polygons.
type tally struct{ points, waypoints, hazards, lines, loops, pictures, empty int }

func (t *tally) add(s shapes) {
	t.points += len(s.points)
	t.lines += len(s.lines)
	t.loops += len(s.loops)
}

// String lists what was counted, such as "3 points and 1 line"; "" for nothing.
func (t tally) String() string {
	var parts []string
	for _, k := range []struct {
		n         int
		one, many string
	}{
		{t.points, "point", "points"},
		{t.waypoints, "waypoint", "waypoints"},
		{t.hazards, "hazard", "hazards"},
		{t.lines, "line", "lines"},
		{t.loops, "closed line", "closed lines"},
		{t.pictures, "picture", "pictures"},
		{t.empty, "feature without geometry", "features without geometry"},
	} {
		switch {
		case k.n == 1:
			parts = append(parts, "1 "+k.one)
		case k.n > 1:
			parts = append(parts, fmt.Sprintf("%d %s", k.n, k.many))
		}
	}
	if n := len(parts); n > 1 {
		return strings.Join(parts[:n-1], ", ") + " and " + parts[n-1]
	}
	return strings.Join(parts, "")
}
