package coverage

// In come a line and two of its vertices; out comes whether one edge may join them.

import (
	"math"
	"slices"
)

// simplifier holds what all lines of a coverage are simplified by.
type simplifier struct {
	cov        *Coverage
	cells      *Window
	classes    int // how many
	mesh       mesh
	toleranceM float64
	metres     ray            // of one unit east and north
	hair       float64        // cells: what lies no deeper in a cell is not in it
	at         [][][2]float64 // by arc: cell coordinates of its vertices
	nearby     vertexIndex
	straight   map[[2]int32]int // arcs that are or may become the straight way between two junctions

	// Scratch.
	rim       [][2]float64
	lo, hi    []float64
	pieces    [2][][2]float64
	best      []step
	shortcuts []step
	sums      []float64
}

// ends names the junctions of an arc, whichever way it runs.
func ends(a Arc) [2]int32 { return [2]int32{min(a.from, a.to), max(a.from, a.to)} }

func newSimplifier(c *Coverage, cells *Window, n int, toleranceM float64) *simplifier {
	s := &simplifier{
		cov: c, cells: cells, classes: n, toleranceM: toleranceM,
		mesh:     mesh{frame: cells.Frame, col0: cells.Col0, row0: cells.Row0, unit: c.unit},
		at:       make([][][2]float64, len(c.Arcs)),
		straight: map[[2]int32]int{},
	}
	south, north := math.Inf(1), math.Inf(-1)
	var places store[[2]float64]
	var at [][2]float64
	for a, arc := range c.Arcs {
		if _, _, ok := c.parties(int32(a), n); ok || len(arc.Vertices) == 2 {
			s.straight[ends(arc)]++
		}
		at = at[:0]
		for _, v := range arc.Vertices {
			col, row := s.mesh.place(v)
			at = append(at, [2]float64{col, row})
			lat := float64(v.Y) / c.unit
			south, north = min(south, lat), max(north, lat)
		}
		s.at[a] = places.keep(at)
	}
	s.metres = metresPerUnit(south, north, c.unit)
	first := s.at[0][0]
	s.hair = s.mesh.hair(int(first[0]), int(first[1]))
	s.nearby = indexVertices(s.at)
	return s
}

// metresPerUnit is the ground length of a unit east and north where it is
// greatest between two latitudes in degrees: east nearest the equator, north
// nearest a pole. What is measured with it is never short.
func metresPerUnit(south, north, unit float64) ray {
	low, high := max(0, south, -north), max(north, -south)
	sinLow, cosLow := math.Sincos(low * math.Pi / 180)
	sinHigh := math.Sin(high * math.Pi / 180)
	w := 1 - ecc2*sinHigh*sinHigh
	radians := math.Pi / 180 / unit
	return ray{
		radians * semiMajorM * cosLow / math.Sqrt(1-ecc2*sinLow*sinLow),
		radians * semiMajorM * (1 - ecc2) / (w * math.Sqrt(w)),
	}
}

// hair is how deep in a cell two units are, or a ten-thousandth of it: what
// rounding and the curve of a long row account for.
func (m *mesh) hair(col, row int) float64 {
	nw, ne, sw := m.node(col, row), m.node(col+1, row), m.node(col, row+1)
	across, down := max(abs(ne.X-nw.X), abs(ne.Y-nw.Y)), max(abs(sw.X-nw.X), abs(sw.Y-nw.Y))
	return max(2/float64(min(across, down)), 1e-4)
}

// ray is the way on the ground from one vertex to another.
func (s *simplifier) ray(from, to Vertex) ray {
	return ray{float64(to.X-from.X) * s.metres.x, float64(to.Y-from.Y) * s.metres.y}
}

// distanceM is how far a vertex lies from a segment.
func (s *simplifier) distanceM(v, a, b Vertex) float64 {
	ab, av := s.ray(a, b), s.ray(a, v)
	length2 := float64(ab.x*ab.x) + float64(ab.y*ab.y)
	t := (float64(ab.x*av.x) + float64(ab.y*av.y)) / length2
	t = max(0, min(1, t))
	return math.Hypot(av.x-float64(t*ab.x), av.y-float64(t*ab.y))
}

// allows reports whether the receiver may work a cell.
func (l *line) allows(col, row int) bool {
	if col < 0 || row < 0 || col >= l.by.cells.Cols || row >= l.by.cells.Rows {
		return false
	}
	m := l.by.cells.Masks[row*l.by.cells.Cols+col]
	return m&(Unknown|NoGo) == 0 && m&l.receiver != 0
}

// passable reports whether the receiver may work all cells around a vertex. A
// shortcut that leaves the vertex aside takes ground from those on the giver's
// side.
func (l *line) passable(i int) bool {
	p := l.at[i]
	c, r := int(math.Floor(p[0]-2*l.by.hair)), int(math.Floor(p[1]-2*l.by.hair))
	c1, r1 := int(math.Floor(p[0]+2*l.by.hair)), int(math.Floor(p[1]+2*l.by.hair))
	return l.allows(c, r) && l.allows(c1, r) && l.allows(c, r1) && l.allows(c1, r1)
}

// strayUnits is how far rounding brings a vertex off the line through two others:
// each is off by up to half the diagonal of a unit.
const strayUnits = 1.5

// strays reports whether a vertex lies to the left of the way from a to b by more
// than rounding.
func strays(a, b, v Vertex) bool {
	return orient(a, b, v) > 0 && cross(a, b, v).float() > strayUnits*math.Hypot(float64(b.X-a.X), float64(b.Y-a.Y))
}

// holds reports whether the edges from vertex i to vertex j may become one: none of
// their vertices strays to its left or beyond the tolerance, no other vertex lies
// in the ground between, and the receiver may work all cells of that ground.
func (l *line) holds(i, j int) bool {
	a, b := l.vertices[i], l.vertices[j]
	if a == b {
		return false
	}
	for _, v := range l.vertices[i+1 : j] {
		if strays(a, b, v) || l.by.distanceM(v, a, b) > l.by.toleranceM {
			return false
		}
	}
	around := l.around(i, j)
	if l.receiver != 0 && !l.worksAll(around) {
		return false
	}
	return l.clear(i, j, around)
}

// around is the rim of the ground between a shortcut and the edges that it
// replaces, closed, in cell coordinates. It lasts until the next is asked for.
func (l *line) around(i, j int) [][2]float64 {
	l.by.rim = append(l.by.rim[:0], l.at[i:j+1]...)
	l.by.rim = l.bend(l.by.rim, l.vertices[j], l.vertices[i], l.at[j], l.at[i], 0)
	return l.by.rim
}

// bend appends an edge in cell coordinates, where it is a curve: what comes
// after its start.
func (l *line) bend(rim [][2]float64, a, b Vertex, p, q [2]float64, depth int) [][2]float64 {
	if depth < 16 && max(math.Abs(q[0]-p[0]), math.Abs(q[1]-p[1])) > 1 {
		mid := Vertex{a.X + (b.X-a.X)/2, a.Y + (b.Y-a.Y)/2}
		c, r := l.by.mesh.place(mid)
		if math.Hypot(c-(p[0]+q[0])/2, r-(p[1]+q[1])/2) > l.by.hair/2 {
			m := [2]float64{c, r}
			rim = l.bend(rim, a, mid, p, m, depth+1)
			return l.bend(rim, mid, b, m, q, depth+1)
		}
	}
	return append(rim, q)
}

// worksAll reports whether the receiver may work all cells of the ground within
// the rim of a shortcut.
func (l *line) worksAll(rim [][2]float64) bool {
	all := true
	l.eachCell(rim, func(col, row int) bool {
		all = l.allows(col, row)
		return all
	})
	return all
}

// eachCell visits the cells of the ground within the rim of a shortcut, until
// visit says no. In a row of cells that ground reaches from the westmost edge to
// the eastmost; where the line comes between, cells are visited that are all the
// receiver's own.
func (l *line) eachCell(rim [][2]float64, visit func(col, row int) bool) {
	row0 := l.by.reach(rim, -l.by.hair)
	for k := range l.by.lo {
		if l.by.lo[k] > l.by.hi[k] {
			continue
		}
		for col := int(math.Floor(l.by.lo[k] + l.by.hair)); float64(col) < l.by.hi[k]-l.by.hair; col++ {
			if !visit(col, row0+k) {
				return
			}
		}
	}
}

// reach finds how far west and east a rim goes in each row of cells, made taller
// by pad above and below: in lo and hi, from row0 on.
func (s *simplifier) reach(rim [][2]float64, pad float64) (row0 int) {
	north, south := math.Inf(1), math.Inf(-1)
	for _, p := range rim {
		north, south = min(north, p[1]), max(south, p[1])
	}
	row0 = int(math.Floor(north - pad))
	n := int(math.Floor(south+pad)) - row0 + 1
	s.lo, s.hi = slices.Grow(s.lo[:0], max(n, 0))[:max(n, 0)], slices.Grow(s.hi[:0], max(n, 0))[:max(n, 0)]
	for k := range s.lo {
		s.lo[k], s.hi[k] = math.Inf(1), math.Inf(-1)
	}
	p := rim[len(rim)-1]
	for _, q := range rim {
		a, b := p, q
		if a[1] > b[1] {
			a, b = b, a
		}
		for row := int(math.Floor(a[1] - pad)); row <= int(math.Floor(b[1]+pad)); row++ {
			c0, c1 := a[0], b[0]
			if dr := b[1] - a[1]; dr > 0 {
				t0, t1 := max(0, (float64(row)-pad-a[1])/dr), min(1, (float64(row+1)+pad-a[1])/dr)
				c0, c1 = a[0]+t0*(b[0]-a[0]), a[0]+t1*(b[0]-a[0])
			}
			k := row - row0
			s.lo[k], s.hi[k] = min(s.lo[k], c0, c1), max(s.hi[k], c0, c1)
		}
		p = q
	}
	return row0
}

// clear reports whether no vertex lies in the ground between a shortcut and the
// edges that it replaces, its rim included, but their own.
func (l *line) clear(i, j int, rim [][2]float64) bool {
	a, b := l.vertices[i], l.vertices[j]
	row0 := l.by.reach(rim, l.by.hair)
	for k := range l.by.lo {
		for _, e := range l.by.nearby.between(row0+k, l.by.lo[k]-l.by.hair, l.by.hi[k]+l.by.hair) {
			v := l.by.cov.Arcs[e.arc].Vertices[e.place]
			if v == a || v == b || e.arc == l.arc && l.replaces(i, j, int(e.place)) {
				continue
			}
			if !strays(a, b, v) && within(v, l.vertices[i:j+1]) {
				return false
			}
		}
	}
	return true
}

// replaces reports whether a vertex, by its place in the arc, is one of those
// between vertices i and j of the line.
func (l *line) replaces(i, j, place int) bool {
	if l.flipped {
		place = len(l.vertices) - 1 - place
	}
	return i < place && place < j
}

// within reports whether a ring, left open, winds around a vertex or passes through
// it. Where rounding makes a shortcut cross the edges that it replaces, what is
// wound around either way counts.
func within(v Vertex, ring []Vertex) bool {
	winds := 0
	p := ring[len(ring)-1]
	for _, q := range ring {
		switch o := orient(p, q, v); {
		case o == 0 && min(p.X, q.X) <= v.X && v.X <= max(p.X, q.X) && min(p.Y, q.Y) <= v.Y && v.Y <= max(p.Y, q.Y):
			return true
		case p.Y <= v.Y && v.Y < q.Y && o > 0:
			winds++
		case q.Y <= v.Y && v.Y < p.Y && o < 0:
			winds--
		}
		p = q
	}
	return winds != 0
}
