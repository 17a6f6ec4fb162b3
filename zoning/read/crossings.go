package read

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// What a repair may take: it costs the square of the edges that cross.
const (
	mostCrossings = 2000    // pairs of edges that meet elsewhere than in a corner of both
	mostPairs     = 1 << 24 // pairs of edges whose boxes do
	toldPlaces    = 3       // crossings whose places are told
)

// checkCrossings refuses polygons whose edges meet so often that they are no boundary
// with a slip in it, before a repair is begun.
func checkCrossings(mp orb.MultiPolygon) error {
	var edges [][2]orb.Point
	var tree rtree.RTreeG[int]
	for _, poly := range mp {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				lo, hi := sorted(ring[i-1], ring[i])
				tree.Insert(lo, hi, len(edges))
				edges = append(edges, [2]orb.Point{ring[i-1], ring[i]})
			}
		}
	}
	var places []string
	found, tried := 0, 0
	for i, e := range edges {
		lo, hi := sorted(e[0], e[1])
		var met []int
		tree.Search(lo, hi, func(_, _ [2]float64, k int) bool {
			if k > i {
				tried++
				if meet(e, edges[k]) {
					met = append(met, k)
				}
			}
			return tried <= mostPairs && found+len(met) <= mostCrossings
		})
		found += len(met)
		slices.Sort(met)
		for _, k := range met[:min(len(met), toldPlaces-len(places))] {
			at := meeting(e, edges[k])
			places = append(places, position(at[0], at[1]))
		}
		where := ""
		if len(places) > 0 {
			where = ", first near " + strings.Join(places, "; near ")
		}
		switch {
		case found > mostCrossings:
			return fmt.Errorf("its boundary crosses or touches itself more than %d times%s; that is too often to be repaired: draw it again", mostCrossings, where)
		case tried > mostPairs:
			return fmt.Errorf("its boundary crosses or touches itself, and too many of its %d edges lie close together to be repaired%s; draw it again with fewer corners", len(edges), where)
		}
	}
	return nil
}

// sorted are the corners of the box around two points.
func sorted(a, b orb.Point) (lo, hi [2]float64) {
	return [2]float64{min(a[0], b[0]), min(a[1], b[1])}, [2]float64{max(a[0], b[0]), max(a[1], b[1])}
}

// meet reports whether edges cross, or one touches the other elsewhere than in a corner of
// both.
func meet(e, f [2]orb.Point) bool {
	if e[0] == f[0] || e[0] == f[1] || e[1] == f[0] || e[1] == f[1] {
		return false
	}
	a, b := turn(e[0], e[1], f[0]), turn(e[0], e[1], f[1])
	c, d := turn(f[0], f[1], e[0]), turn(f[0], f[1], e[1])
	return a*b <= 0 && c*d <= 0
}

// turn is above 0 where c lies on the left of the way from a to b, below on its right.
func turn(a, b, c orb.Point) float64 {
	switch v := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0]); {
	case v > 0:
		return 1
	case v < 0:
		return -1
	}
	return 0
}

// meeting is where two edges that meet do; a corner of theirs where they lie on one line.
func meeting(e, f [2]orb.Point) orb.Point {
	dx, dy := e[1][0]-e[0][0], e[1][1]-e[0][1]
	ux, uy := f[1][0]-f[0][0], f[1][1]-f[0][1]
	across := dx*uy - dy*ux
	if across == 0 {
		return f[0]
	}
	t := ((f[0][0]-e[0][0])*uy - (f[0][1]-e[0][1])*ux) / across
	return orb.Point{e[0][0] + t*dx, e[0][1] + t*dy}
}
