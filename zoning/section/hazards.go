package section

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"
	"github.com/paulmach/orb/project"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/profile"
	"github.com/acreband/acreband/zoning"
)

// Met is a hazard that the line of a section meets, and from where to where along it. A
// hazard that it meets in several places is there as often.
type Met struct {
	zoning.Hazard
	FromM, ToM float64
}

// nearCells is how near the line comes to the shape of a hazard to meet it, in cells: shapes
// run through the middles of cells.
const nearCells = 1

// meets finds the dangers of a map that a line meets, in the order of the map.
func meets(g *terrain.Grid, hazards []zoning.Hazard, p *profile.Profile) []Met {
	middle := p.LonLat[len(p.LonLat)/2]
	lonM, latM := terrain.DegreeM(middle[1])
	flat := func(at orb.Point) orb.Point {
		return orb.Point{math.Remainder(at[0]-middle[0], 360) * lonM, (at[1] - middle[1]) * latM}
	}
	c, r := g.Frame.Cell(middle[0], middle[1])
	w, h := g.Frame.MetricAt(c, r).CellM()
	near := nearCells * max(w, h)
	places := make([]orb.Point, len(p.LonLat))
	var bound orb.Bound
	for i, at := range p.LonLat {
		places[i] = flat(at)
		if i == 0 {
			bound = places[i].Bound()
		}
		bound = bound.Extend(places[i])
	}
	var out []Met
	for _, hazard := range hazards {
		if !hazard.Kind.IsDanger() || hazard.Geometry == nil {
			continue
		}
		shape := project.Geometry(orb.Clone(hazard.Geometry), flat)
		box := shape.Bound().Pad(near)
		if !box.Intersects(bound) {
			continue
		}
		from := -1
		for i := range len(places) + 1 {
			met := i < len(places) && box.Contains(places[i]) && (covers(shape, places[i]) || planar.DistanceFrom(shape, places[i]) <= near)
			switch {
			case met && from < 0:
				from = i
			case !met && from >= 0:
				out = append(out, Met{hazard, p.DistancesM[from], p.DistancesM[i-1]})
				from = -1
			}
		}
	}
	return out
}

// covers reports whether a place lies in a shape that has an area.
func covers(shape orb.Geometry, at orb.Point) bool {
	switch shape := shape.(type) {
	case orb.Polygon:
		return planar.PolygonContains(shape, at)
	case orb.MultiPolygon:
		return planar.MultiPolygonContains(shape, at)
	case orb.Collection:
		for _, s := range shape {
			if covers(s, at) {
				return true
			}
		}
	}
	return false
}
