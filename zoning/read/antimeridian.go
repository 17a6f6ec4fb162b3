package read

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// sheet is polygons laid out so that no edge jumps at the antimeridian:
// longitudes may run past 180.
type sheet struct {
	polygons orb.MultiPolygon
	// original gives the longitude in the file of points that were moved by
	// whole turns.
	original map[orb.Point]float64
	// past tells that some longitude is beyond ±180.
	past bool
}

// unwrap lays polygons out. An edge that jumps more than 180 degrees is taken
// the short way. A ring that does not close then goes round a pole.
func unwrap(mp orb.MultiPolygon) (sheet, error) {
	s := sheet{polygons: mp}
	jumps := false
	for _, poly := range mp {
		for _, ring := range poly {
			for i, p := range ring {
				s.past = s.past || math.Abs(p[0]) > 180
				jumps = jumps || i > 0 && math.Abs(p[0]-ring[i-1][0]) > 180
			}
		}
	}
	if !jumps && !s.past {
		return s, nil
	}
	s.original = map[orb.Point]float64{}
	s.polygons = nil
	var about float64 // longitude that later rings are laid beside
	for i, poly := range mp {
		var laid orb.Polygon
		for j, ring := range poly {
			r, err := unwrapRing(ring)
			if err != nil {
				return s, err
			}
			if i == 0 && j == 0 {
				about = middleLon(r)
			}
			turn := 360 * math.Round((about-middleLon(r))/360)
			for k := range r {
				r[k][0] += turn
				s.original[r[k]] = ring[k][0]
				s.past = s.past || math.Abs(r[k][0]) > 180
			}
			laid = append(laid, r)
		}
		s.polygons = append(s.polygons, laid)
	}
	return s, nil
}

func unwrapRing(ring orb.Ring) (orb.Ring, error) {
	out, err := unwrapPath(ring)
	if err != nil {
		return nil, err
	}
	if first, last := out[0], out[len(out)-1]; math.Abs(last[0]-first[0]) > 180 {
		pole := "north"
		if first[1] < 0 {
			pole = "south"
		}
		return nil, fmt.Errorf("goes round the %s pole, where longitude and latitude cannot draw it: cut it along a meridian into parts that do not hold the pole", pole)
	}
	return out, nil
}

// unwrapPath makes longitudes run on where an edge crosses the antimeridian.
func unwrapPath(path []orb.Point) ([]orb.Point, error) {
	out := make([]orb.Point, len(path))
	for i, p := range path {
		if i == 0 {
			out[0] = p
			continue
		}
		step := shortWay(p[0] - path[i-1][0])
		if math.Abs(p[0]-path[i-1][0]) >= 360 {
			return nil, fmt.Errorf("an edge at latitude %g runs once round the earth: a parcel cannot", p[1])
		}
		// Adding whole turns and not steps keeps the figures.
		turns := math.Round((out[i-1][0] + step - p[0]) / 360)
		out[i] = orb.Point{p[0] + 360*turns, p[1]}
	}
	return out, nil
}

func middleLon(r orb.Ring) float64 {
	b := r.Bound()
	return (b.Min[0] + b.Max[0]) / 2
}

// seamDeg is how near the antimeridian, in degrees, a computed point must be to
// be meant to lie on it: 0.1 mm.
const seamDeg = 1e-9

// cut returns polygons between -180 and 180, cut in two at the antimeridian.
// The polygons must be valid.
func (s sheet) cut() (orb.MultiPolygon, error) {
	if !s.past {
		return s.polygons, nil
	}
	var out orb.MultiPolygon
	b := s.polygons.Bound()
	for turn := math.Floor((b.Min[0] + 180) / 360); turn <= math.Floor((b.Max[0]+180)/360); turn++ {
		west, east := 360*turn-180, 360*turn+180
		part := s.polygons
		if b.Min[0] < west || b.Max[0] > east {
			box := orb.Bound{Min: orb.Point{west, -90}, Max: orb.Point{east, 90}}
			var err error
			if part, err = intersection(s.polygons, orb.MultiPolygon{box.ToPolygon()}); err != nil {
				return nil, err
			}
		}
		for _, poly := range part {
			out = append(out, s.restore(poly, turn))
		}
	}
	return out, nil
}

// restore moves a polygon back by whole turns, to the file's own figures where
// it has them.
func (s sheet) restore(poly orb.Polygon, turn float64) orb.Polygon {
	back := make(orb.Polygon, len(poly))
	for i, ring := range poly {
		for _, p := range ring {
			lon := p[0] - 360*turn
			switch was, known := s.original[p]; {
			case math.Abs(lon-180) < seamDeg:
				lon = 180
			case math.Abs(lon+180) < seamDeg:
				lon = -180
			case known && math.Abs(was-lon) < seamDeg:
				lon = was
			default:
				lon = round9(lon)
			}
			back[i] = append(back[i], orb.Point{lon, p[1]})
		}
	}
	return back
}
