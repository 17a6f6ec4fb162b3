package read

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/paulmach/orb"
)

// quarterChords is the number of chords for a quarter turn round a corner that
// juts into the parcel: they run within 0.00008 of the inset.
const quarterChords = 64

// slitM is the width, in metres, up to which a gap between two parts is what
// rounding left of an edge they share, and no boundary.
const slitM = 0.001

// flatShare bounds how far the plane may be out at the north and south end of a
// parcel, as a share of any distance.
const flatShare = 0.02

// edgeGround returns the ground of a parcel that is nearer to its boundary than
// an inset in metres, and its acres by [zoning.Acres]. A parcel narrower than
// twice the inset is all edge. Holes have a boundary like shells; an edge that
// two parts share, and the antimeridian where it cuts a parcel, are none.
//
// Distances are taken in a plane, scaled at the parcel's middle latitude φ: at a
// distance Δφ north or south of it the inset is out by up to tan φ · Δφ of
// itself, 0.08% (8 mm of 10 m) at 45 degrees and 5 km. A parcel where that
// passes 2% is refused. GEOS takes wiggles of the line for straight where they
// are within 1% of the inset, and gaps between parts under 1 mm count as closed.
//
// The ground is valid by the OGC rules and wound by RFC 7946. It keeps the
// parcel's own corners, so that its acres and those of the rest add up to the
// parcel's.
func edgeGround(p zoning.Parcel, insetM float64) (edge orb.MultiPolygon, acres float64, err error) {
	if !(insetM >= 0) || math.IsInf(insetM, 0) {
		return nil, 0, fmt.Errorf("lot %s: an inset of %g m: give 0 or more", p.Lot, insetM)
	}
	if insetM == 0 || len(p.Ground) == 0 {
		return nil, 0, nil
	}
	s := layTogether(p.Ground)
	b := s.polygons.Bound()
	lat := (b.Min[1] + b.Max[1]) / 2
	flat := planeAt(lat)
	far := max(math.Abs(planeAt(b.Min[1]).eastM/flat.eastM-1), math.Abs(planeAt(b.Max[1]).eastM/flat.eastM-1))
	if !(far <= flatShare) {
		return nil, 0, fmt.Errorf("lot %s: reaches from latitude %g to %g, too far for distances from its line: cut it into parts", p.Lot, b.Min[1], b.Max[1])
	}
	core, err := flat.core(s.polygons, b.Center(), insetM)
	if err != nil {
		return nil, 0, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	if len(core) == 0 {
		return p.Ground.Clone(), coverage.Acres(p.Ground), nil
	}
	// Parts that share an edge are no valid operand.
	if len(s.polygons) > 1 {
		if s.polygons, err = union(s.polygons); err != nil {
			return nil, 0, fmt.Errorf("lot %s: %w", p.Lot, err)
		}
	}
	if s.polygons, err = difference(s.polygons, core); err != nil {
		return nil, 0, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	if edge, err = s.cut(); err != nil {
		return nil, 0, fmt.Errorf("lot %s: %w", p.Lot, err)
	}
	wind(edge)
	return edge, coverage.Acres(edge), nil
}

// core returns the ground farther than an inset from the boundary, in degrees.
// Growing first and shrinking more closes the slits between parts.
func (p plane) core(ground orb.MultiPolygon, middle orb.Point, insetM float64) (orb.MultiPolygon, error) {
	grown, err := buffer(scaled(ground, func(q orb.Point) orb.Point {
		return orb.Point{(q[0] - middle[0]) * p.eastM, (q[1] - middle[1]) * p.northM}
	}), slitM, 8)
	if err != nil {
		return nil, err
	}
	core, err := buffer(grown, -slitM-insetM, quarterChords)
	if err != nil {
		return nil, err
	}
	return scaled(core, func(q orb.Point) orb.Point {
		return orb.Point{middle[0] + q[0]/p.eastM, middle[1] + q[1]/p.northM}
	}), nil
}

func scaled(mp orb.MultiPolygon, at func(orb.Point) orb.Point) orb.MultiPolygon {
	out := make(orb.MultiPolygon, len(mp))
	for i, poly := range mp {
		out[i] = make(orb.Polygon, len(poly))
		for j, ring := range poly {
			out[i][j] = make(orb.Ring, len(ring))
			for k, q := range ring {
				out[i][j][k] = at(q)
			}
		}
	}
	return out
}

// layTogether lays parts that were cut at the antimeridian beside each other.
func layTogether(mp orb.MultiPolygon) sheet {
	s := sheet{polygons: mp}
	if b := mp.Bound(); b.Max[0]-b.Min[0] <= 180 {
		return s
	}
	s.original, s.past = map[orb.Point]float64{}, true
	about := middleLon(mp[0][0])
	s.polygons = scaled(mp, func(p orb.Point) orb.Point {
		laid := orb.Point{p[0] + 360*math.Round((about-p[0])/360), p[1]}
		s.original[laid] = p[0]
		return laid
	})
	return s
}
