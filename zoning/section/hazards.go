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
		lines := piecesOf(shape)
		from := -1
		for i := range len(places) + 1 {
			met := i < len(places) && box.Contains(places[i]) && (covers(shape, places[i]) || passes(lines, places[i], near))
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

// piece is a short part of a line, or a spot, with the box around it.
type piece struct {
	orb.LineString
	box orb.Bound
}

// pieceCorners is how many corners a piece has at most: most of a long line is ruled out by
// the boxes of its pieces.
const pieceCorners = 32

// piecesOf are the lines, the rims and the spots of a shape, in pieces.
func piecesOf(shape orb.Geometry) (all []piece) {
	zoning.EachLine(shape, func(line []orb.Point) {
		for from := 0; from == 0 || from < len(line)-1; from += pieceCorners - 1 {
			part := orb.LineString(line[from:min(from+pieceCorners, len(line))])
			all = append(all, piece{part, part.Bound()})
		}
	})
	return all
}

// passes reports whether a piece comes so near to a place.
func passes(all []piece, at orb.Point, near float64) bool {
	for _, p := range all {
		if !p.box.Pad(near).Contains(at) {
			continue
		}
		if len(p.LineString) == 1 && planar.Distance(p.LineString[0], at) <= near || planar.DistanceFrom(p.LineString, at) <= near {
			return true
		}
	}
	return false
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
