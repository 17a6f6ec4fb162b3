package site

import (
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/acreband/acreband/zoning"
)

// sameM is how far apart two drawings of one line, gate or bridge may lie (planning value,
// no source).
const sameM = 15

// sampleM is how closely a line is looked at for stretches that were drawn twice.
const sampleM = 5

// Yield returns the features without what a map of others shows of the same things as the
// features drawn for the job, and how many gave way, whole or in part: of overhead lines,
// roads, paths, gates and bridges what lies within 50 ft of a drawn one of the kind, of
// buildings those that lie on a drawn one. A line with a voltage above that of the drawn one
// is another line and stays. What closes ground stays too, since closing it twice
// takes nothing.
func Yield(features []Feature) (kept []Feature, gave int) {
	var own []Feature
	for _, f := range features {
		if !f.Lent() {
			own = append(own, f)
		}
	}
	for _, f := range features {
		if !f.Lent() {
			kept = append(kept, f)
			continue
		}
		left := f.beside(own)
		if !orb.Equal(left, f.Geometry) {
			gave++
		}
		if left != nil {
			f.Geometry = left
			kept = append(kept, f)
		}
	}
	return kept, gave
}

// beside is what of a lent feature is not drawn among own ones; nil where all of it is.
func (f Feature) beside(own []Feature) orb.Geometry {
	left := f.Geometry
	for _, o := range own {
		if left == nil {
			return nil
		}
		if !o.shows(f) || !left.Bound().Pad(metresToDegrees(sameM, left.Bound().Center()[1])).Intersects(o.Geometry.Bound()) {
			continue
		}
		switch f.Kind {
		case Building:
			if o.covers(left.Bound().Center()) {
				return nil
			}
		default:
			left = farFrom(left, o.Geometry)
		}
	}
	return left
}

// shows reports whether a drawn feature may be the one that a map of others shows.
func (f Feature) shows(lent Feature) bool {
	switch lent.Kind {
	case Building, Gate, Bridge:
		return f.Kind == lent.Kind
	case Road, Path:
		return f.Kind == Road || f.Kind == Path
	case OverheadLine:
		return f.Kind == lent.Kind && lent.KV <= f.KV // 0 where nobody says
	}
	return false
}

func (f Feature) covers(at orb.Point) bool {
	switch g := f.Geometry.(type) {
	case orb.Polygon:
		return planar.PolygonContains(g, at)
	case orb.MultiPolygon:
		return planar.MultiPolygonContains(g, at)
	}
	return distM(at, f.Geometry) <= sameM
}

// farFrom is what of points and lines lies farther than [sameM] from a shape; an area goes
// where its middle is near.
func farFrom(g, from orb.Geometry) orb.Geometry {
	switch g := g.(type) {
	case orb.LineString:
		return linesFar(orb.MultiLineString{g}, from)
	case orb.MultiLineString:
		return linesFar(g, from)
	}
	if distM(g.Bound().Center(), from) <= sameM {
		return nil
	}
	return g
}

func linesFar(lines orb.MultiLineString, from orb.Geometry) orb.Geometry {
	var out orb.MultiLineString
	cut := false
	for _, l := range lines {
		var run orb.LineString
		end := func() {
			if len(run) > 1 {
				out = append(out, run)
			}
			run = nil
		}
		for i := 1; i < len(l); i++ {
			a, b := l[i-1], l[i]
			n := max(1, int(math.Ceil(spanM(a, b)/sampleM)))
			for k := range n {
				p, q := along(a, b, k, n), along(a, b, k+1, n)
				if distM(along(p, q, 1, 2), from) <= sameM {
					cut = true
					end()
					continue
				}
				if len(run) == 0 {
					run = orb.LineString{p}
				} else if k > 0 {
					run = run[:len(run)-1] // on, straight
				}
				run = append(run, q)
			}
		}
		end()
	}
	switch {
	case !cut && len(lines) == 1:
		return lines[0]
	case !cut:
		return lines
	case out == nil:
		return nil
	}
	return out
}

func along(a, b orb.Point, part, of int) orb.Point {
	if part == of {
		return b
	}
	t := float64(part) / float64(of)
	return orb.Point{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])}
}

// metresPerDegree is of latitude, on a sphere; within 1% of any ellipsoid's.
const metresPerDegree = 111_195

func metresToDegrees(m, lat float64) float64 {
	return m / metresPerDegree / math.Max(math.Cos(lat*math.Pi/180), 0.01)
}

func spanM(a, b orb.Point) float64 {
	return metresPerDegree * math.Hypot((b[0]-a[0])*math.Cos(a[1]*math.Pi/180), b[1]-a[1])
}

// distM is the distance from a point to a shape's edges in meters, near it; 0 within an area.
func distM(at orb.Point, g orb.Geometry) float64 {
	k := math.Cos(at[1] * math.Pi / 180)
	flat := func(p orb.Point) orb.Point {
		return orb.Point{metresPerDegree * k * (p[0] - at[0]), metresPerDegree * (p[1] - at[1])}
	}
	least := math.Inf(1)
	switch g := g.(type) {
	case orb.Polygon:
		if planar.PolygonContains(g, at) {
			return 0
		}
	case orb.MultiPolygon:
		if planar.MultiPolygonContains(g, at) {
			return 0
		}
	}
	zoning.EachLine(g, func(ps []orb.Point) {
		if len(ps) == 1 {
			p := flat(ps[0])
			least = min(least, math.Hypot(p[0], p[1]))
		}
		for i := 1; i < len(ps); i++ {
			least = min(least, planar.DistanceFromSegment(flat(ps[i-1]), flat(ps[i]), orb.Point{}))
		}
	})
	return least
}
