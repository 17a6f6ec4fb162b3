package osm

import (
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/clip"
	"github.com/paulmach/orb/planar"
)

// runs are the places of a way's nodes, in stretches: an extract that ends within a way lacks
// the nodes beyond.
func (f *found) runs(refs []int64) (out []orb.LineString) {
	var run orb.LineString
	end := func() {
		if len(run) > 1 {
			out = append(out, run)
		}
		run = nil
	}
	for _, id := range refs {
		if at, ok := f.place(id); ok {
			run = append(run, at)
		} else {
			end()
		}
	}
	end()
	return out
}

// closes reports whether a way comes back to its start.
func closes(refs []int64) bool { return len(refs) > 3 && refs[0] == refs[len(refs)-1] }

// shape is the geometry of a way: a polygon where an area is meant and the extract has all of
// it, else lines; nil where the extract has too little of it.
func (f *found) shape(refs []int64, area bool) orb.Geometry {
	runs := f.runs(refs)
	switch {
	case len(runs) == 0:
		return nil
	case area && closes(refs) && len(runs) == 1 && len(runs[0]) == len(refs):
		return orb.Polygon{orb.Ring(runs[0])}
	case len(runs) == 1:
		return runs[0]
	}
	return orb.MultiLineString(runs)
}

// chain is ways of a relation that join at their ends.
type chain []int64

func (c chain) closed() bool { return closes(c) }

// chains joins ways to rings, as far as they close; each way is used once.
func chains(ways [][]int64) (out []chain) {
	ends := map[int64][]int{}
	for i, w := range ways {
		ends[w[0]] = append(ends[w[0]], i)
		ends[w[len(w)-1]] = append(ends[w[len(w)-1]], i)
	}
	used := make([]bool, len(ways))
	for i, w := range ways {
		if used[i] {
			continue
		}
		used[i] = true
		c := slices.Clone(chain(w))
		for !c.closed() {
			last := c[len(c)-1]
			there := ends[last]
			for len(there) > 0 && used[there[0]] {
				there = there[1:]
			}
			if ends[last] = there; len(there) == 0 {
				break
			}
			k := there[0]
			used[k] = true
			more := slices.Clone(ways[k])
			if more[0] != last {
				slices.Reverse(more)
			}
			c = append(c, more[1:]...)
		}
		out = append(out, c)
	}
	return out
}

// mostHoles is how many holes, times shells, are looked at of one relation.
const mostHoles = 1 << 20

// area is what a relation draws: polygons of the rings that close, and the lines of those that
// do not, or that the extract has no more of.
func (f *found) area(r *element) (shapes []orb.Geometry) {
	var outer, inner [][]int64
	for _, m := range r.members {
		w, ok := f.way(m.id)
		if m.kind != way || !ok || len(w.refs) < 2 {
			continue
		}
		if m.role == "inner" {
			inner = append(inner, w.refs)
		} else {
			outer = append(outer, w.refs)
		}
	}
	var polygons orb.MultiPolygon
	var lines orb.MultiLineString
	for _, c := range chains(outer) {
		switch g := f.shape(c, true).(type) {
		case orb.Polygon:
			polygons = append(polygons, g)
		case orb.LineString:
			lines = append(lines, g)
		case orb.MultiLineString:
			lines = append(lines, g...)
		}
	}
	if len(inner)*len(outer) > mostHoles {
		inner = nil // what is closed is closed whole
	}
	for _, c := range chains(inner) {
		hole, ok := f.shape(c, true).(orb.Polygon)
		if !ok {
			continue
		}
		for i, p := range polygons {
			if planar.RingContains(p[0], hole[0][0]) {
				polygons[i] = append(p, hole[0])
				break
			}
		}
	}
	if len(polygons) > 0 {
		shapes = append(shapes, polygons)
	}
	if len(lines) > 0 {
		shapes = append(shapes, lines)
	}
	return shapes
}

// near is what of a shape lies in a box: lines are cut there, areas are whole; nil where
// nothing does.
func near(g orb.Geometry, box orb.Bound) orb.Geometry {
	switch g := g.(type) {
	case orb.Point:
		if box.Contains(g) {
			return g
		}
	case orb.LineString:
		return near(orb.MultiLineString{g}, box)
	case orb.MultiLineString:
		switch parts := clip.MultiLineString(box, g); len(parts) {
		case 0:
		case 1:
			return parts[0]
		default:
			return parts
		}
	case orb.Polygon:
		return near(orb.MultiPolygon{g}, box)
	case orb.MultiPolygon:
		var out orb.MultiPolygon
		for _, p := range g {
			if len(clip.Polygon(box, p.Clone())) > 0 {
				out = append(out, p)
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}
