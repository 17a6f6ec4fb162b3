package tour

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/tidwall/rtree"
)

// Round is an order of places, from the last of which it goes back to the first.
type Round struct {
	Order    []int   // of the places given
	LengthM  float64 // all the way round
	AtLeastM float64 // no round is shorter
}

// Of finds a round over places in WGS84 longitude and latitude. It begins with the
// first place given. The same places give the same round.
func Of(places []orb.Point) Round { return of(onPlane(places)) }

type xy [2]float64

func (a xy) to(b xy) float64 { return math.Hypot(b[0]-a[0], b[1]-a[1]) }

// onPlane lays places on a plane of metres through their middle, on a sphere of the
// earth's mean radius.
func onPlane(places []orb.Point) []xy {
	if len(places) == 0 {
		return nil
	}
	const metresPerDegree = 6371008.8 * math.Pi / 180
	var low, high = places[0][1], places[0][1]
	for _, p := range places {
		low, high = min(low, p[1]), max(high, p[1])
	}
	across := metresPerDegree * math.Cos((low+high)/2*math.Pi/180)
	out := make([]xy, len(places))
	for i, p := range places {
		out[i] = xy{math.Remainder(p[0]-places[0][0], 360) * across, (p[1] - places[0][1]) * metresPerDegree}
	}
	return out
}

func of(at []xy) Round {
	n := len(at)
	t := &round{at: at, near: nearest(at)}
	t.order = t.greedy()
	t.pos = make([]int, n)
	for i, p := range t.order {
		t.pos[p] = i
	}
	if n > 3 {
		t.improve(slices.Clone(t.order))
		t.shake()
	}
	r := Round{AtLeastM: t.bound()}
	if n > 0 {
		first := t.pos[0]
		r.Order = slices.Concat(t.order[first:], t.order[:first])
	}
	r.LengthM = t.length()
	r.AtLeastM = min(r.AtLeastM, r.LengthM) // rounding
	return r
}

// Near places among which an improvement is looked for: the nearest, and the nearest in
// each quadrant, for in a clump of lots all the nearest are of the same clump (Johnson
// and McGeoch 1997). No more than so many are looked at for them.
const (
	neighbours         = 8
	quadrantNeighbours = 2
	mostLookedAt       = 40
)

// nearest lists for each place near others, nearest first.
func nearest(at []xy) [][]int {
	var tree rtree.RTreeG[int]
	for i, p := range at {
		tree.Insert(p, p, i)
	}
	out := make([][]int, len(at))
	for i, p := range at {
		var in [4]int
		looked, full := 0, 0
		tree.Nearby(rtree.BoxDist[float64, int](p, p, nil), func(q, _ [2]float64, k int, _ float64) bool {
			if k == i {
				return true
			}
			quadrant := &in[quadrantOf(p, q)]
			if *quadrant++; *quadrant == quadrantNeighbours {
				full++
			}
			if looked++; looked <= neighbours || *quadrant <= quadrantNeighbours {
				out[i] = append(out[i], k)
			}
			return looked < neighbours || full < len(in) && looked < mostLookedAt
		})
	}
	return out
}

// quadrantOf tells in which quadrant around a place another lies.
func quadrantOf(p, q xy) int {
	quadrant := 0
	if q[0] >= p[0] {
		quadrant = 1
	}
	if q[1] >= p[1] {
		quadrant += 2
	}
	return quadrant
}

// round is a round on its way.
type round struct {
	at    []xy
	near  [][]int
	order []int
	pos   []int // of each place in order
}

// greedy goes to the nearest place that is left.
func (t *round) greedy() []int {
	n := len(t.at)
	var left rtree.RTreeG[int]
	for i, p := range t.at {
		left.Insert(p, p, i)
	}
	order := make([]int, 0, n)
	for here := 0; len(order) < n; {
		order = append(order, here)
		p := t.at[here]
		left.Delete(p, p, here)
		left.Nearby(rtree.BoxDist[float64, int](p, p, nil), func(_, _ [2]float64, k int, _ float64) bool {
			here = k
			return false
		})
	}
	return order
}

func (t *round) d(a, b int) float64 { return t.at[a].to(t.at[b]) }

// beside is the place after another, or before it where it is seen the other way.
func (t *round) beside(p int, back bool) int {
	n := len(t.order)
	if back {
		return t.order[(t.pos[p]+n-1)%n]
	}
	return t.order[(t.pos[p]+1)%n]
}

// turn takes the ways from a to b and from c to d out, each of which follow each other
// one way or the other, and puts in those from a to c and from b to d.
func (t *round) turn(a, b, c, d int) {
	if t.beside(a, false) != b {
		a, b, c, d = b, a, d, c
	}
	n := len(t.order)
	i, j := t.pos[b], t.pos[c]
	inside := (j - i + n) % n
	if 2*inside > n {
		i, j = t.pos[d], t.pos[a]
		inside = (j - i + n) % n
	}
	for range (inside + 1) / 2 {
		p, q := t.order[i], t.order[j]
		t.order[i], t.order[j] = q, p
		t.pos[q], t.pos[p] = i, j
		i, j = (i+1)%n, (j+n-1)%n
	}
}
