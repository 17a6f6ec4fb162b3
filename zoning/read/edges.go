package read

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// toleranceM is how far, in metres on the ground, an edge that is straight in
// longitude and latitude may be from the same edge straight in its own CRS.
const toleranceM = 0.005

// maxPieces bounds the pieces added to one ring or line: an edge through a pole, or
// past the end of its CRS, is never straight enough.
const maxPieces = 1 << 16

// metresPerDegree along a meridian of a sphere of 6371 km: good to 1% anywhere,
// which is enough for a tolerance.
const metresPerDegree = 111195

// node is a corner of a ring or a line, or a point added to an edge.
type node struct {
	src, at orb.Point
	done    bool // the edge that begins here is straight enough
}

// path takes a ring or a line to longitude and latitude.
func (c *crs) path(src []orb.Point) ([]orb.Point, error) {
	for _, p := range src {
		if err := c.check(p); err != nil {
			return nil, err
		}
	}
	if c.transform == nil {
		return src, nil
	}
	at := c.toLonLat(src)
	moved := false
	for i, p := range at {
		if math.IsNaN(p[0]) || math.IsNaN(p[1]) {
			return nil, fmt.Errorf("a corner (%s) lies where its CRS (%s) does not reach: check the CRS", figures(src[i]), c.name)
		}
		moved = moved || math.Abs(p[0]-src[i][0]) > noShiftDeg || math.Abs(p[1]-src[i][1]) > noShiftDeg
	}
	if c.degrees && !moved {
		return src, nil
	}
	nodes := make([]node, len(src))
	for i := range nodes {
		nodes[i] = node{src: src[i], at: at[i]}
	}
	nodes[len(nodes)-1].done = true
	nodes, err := c.straighten(nodes)
	if err != nil {
		return nil, err
	}
	out := make([]orb.Point, len(nodes))
	for i, n := range nodes {
		out[i] = orb.Point{round9(n.at[0]), round9(n.at[1])}
	}
	return out, nil
}

// straighten halves edges until each is within tolerance. Halves and quarters
// of an edge are the same whichever end it begins at, so that neighbouring lots
// get the same points.
func (c *crs) straighten(nodes []node) ([]node, error) {
	most := len(nodes) + maxPieces
	for {
		var probes []orb.Point // at 1/4, 1/2 and 3/4 of each open edge
		for i := range nodes {
			if !nodes[i].done {
				p, q := nodes[i].src, nodes[i+1].src
				m := middle(p, q)
				probes = append(probes, middle(p, m), m, middle(m, q))
			}
		}
		if probes == nil {
			return nodes, nil
		}
		at := c.toLonLat(probes)
		next := make([]node, 0, len(nodes)+len(probes)/3)
		for i, n := range nodes {
			if n.done {
				next = append(next, n)
				continue
			}
			bent := false
			for _, p := range at[:3] {
				// Not "more than": a point that could not be placed is NaN.
				bent = bent || !(offsetM(p, n.at, nodes[i+1].at) <= toleranceM)
			}
			if bent {
				next = append(next, n, node{src: probes[1], at: at[1]})
			} else {
				n.done = true
				next = append(next, n)
			}
			probes, at = probes[3:], at[3:]
		}
		if nodes = next; len(nodes) > most {
			return nil, errors.New("an edge passes a pole or leaves the ground its CRS (" + c.name + ") covers: check the CRS")
		}
	}
}

func middle(p, q orb.Point) orb.Point { return orb.Point{(p[0] + q[0]) / 2, (p[1] + q[1]) / 2} }

// offsetM is the distance of p from the segment a-b, in metres on the ground.
func offsetM(p, a, b orb.Point) float64 {
	shrink := math.Cos(p[1] * (math.Pi / 180))
	ax, ay := shortWay(a[0]-p[0])*shrink, a[1]-p[1]
	bx, by := shortWay(b[0]-p[0])*shrink, b[1]-p[1]
	dx, dy := bx-ax, by-ay
	t := 0.0
	if l2 := dx*dx + dy*dy; l2 > 0 {
		t = min(max(-(ax*dx+ay*dy)/l2, 0), 1)
	}
	return math.Hypot(ax+t*dx, ay+t*dy) * metresPerDegree
}

// shortWay returns a difference of longitude as the shorter way round.
func shortWay(deg float64) float64 {
	switch {
	case deg > 180:
		return deg - 360
	case deg < -180:
		return deg + 360
	}
	return deg
}

func round9(deg float64) float64 { return math.Round(deg*1e9) / 1e9 }
