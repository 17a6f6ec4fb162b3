package work

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// A drop-off is ground that falls by dropOffPct or more from one cell to the next, and
// by leastDropM or more in all before it eases: 100 % and 3 ft (planning values, no
// source).
const (
	dropOffPct = 100
	leastDropM = 3 * zoning.MetresPerFoot
)

// Edge is a cell at the upper edge of a drop.
type Edge struct {
	Cell  int
	Foot  int     // the cell where the fall eases
	DropM float64 // how much lower that is
}

// edges finds the upper edges of drops in which every cell falls to the next by rise
// over run or more, and which are leastM high or more in all.
func edges(g *terrain.Grid, l *lie, rise, leastM float64) []Edge {
	var out []Edge
	for r := range g.Rows {
		for c := range g.Cols {
			next, fall := steepestFall(g, l, c, r)
			if fall < rise || !isUpper(g, l, c, r, rise) {
				continue
			}
			e := Edge{Cell: r*g.Cols + c}
			e.Foot, e.DropM = foot(g, l, next, rise)
			e.DropM = float64(g.Z[r*g.Stride+c]) - e.DropM
			if e.DropM >= leastM {
				out = append(out, e)
			}
		}
	}
	return out
}

// neighbours are the eight around a cell.
var neighbours = [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}

// steepestFall finds the neighbour to which a cell falls most, as rise over run; -1
// where none is lower.
func steepestFall(g *terrain.Grid, l *lie, c, r int) (next int, fall float64) {
	next = -1
	z := g.Z[r*g.Stride+c]
	for _, n := range neighbours {
		x, y := c+n[0], r+n[1]
		if x < 0 || y < 0 || x >= g.Cols || y >= g.Rows {
			continue
		}
		if d := z - g.Z[y*g.Stride+x]; d > 0 { // not where either is void
			if f := float64(d) / l.distM(n[0], n[1]); f > fall {
				next, fall = y*g.Cols+x, f
			}
		}
	}
	return next, fall
}

// isUpper tells whether no neighbour of a cell falls to it as steeply.
func isUpper(g *terrain.Grid, l *lie, c, r int, rise float64) bool {
	z := g.Z[r*g.Stride+c]
	for _, n := range neighbours {
		x, y := c+n[0], r+n[1]
		if x >= 0 && y >= 0 && x < g.Cols && y < g.Rows && float64(g.Z[y*g.Stride+x]-z) >= rise*l.distM(n[0], n[1]) {
			return false
		}
	}
	return true
}

// foot follows the fall from a cell to where it eases.
func foot(g *terrain.Grid, l *lie, cell int, rise float64) (at int, height float64) {
	for {
		c, r := cell%g.Cols, cell/g.Cols
		next, fall := steepestFall(g, l, c, r)
		if fall < rise {
			return cell, float64(g.Z[r*g.Stride+c])
		}
		cell = next
	}
}

// keepBackM is how far a machine keeps from an edge: its footprint, or the height of
// the drop where that is more.
func (p *mover) keepBackM(e Edge) float64 { return math.Max(p.footprintM(), e.DropM) }

// eachNear visits the cells that lie within a distance of a cell.
func (l *lie) eachNear(cell int, metres float64, visit func(i int)) {
	c, r := cell%l.cols, cell/l.cols
	d := l.disc(metres, atLeast)
	for v := -len(d.half) + 1; v < len(d.half); v++ {
		if y := r + v; y >= 0 && y < l.rows {
			half := d.half[max(v, -v)]
			for x := max(c-half, 0); x <= min(c+half, l.cols-1); x++ {
				visit(y*l.cols + x)
			}
		}
	}
}

// keepFromEdges closes the ground above drop-offs that is too near to their edges.
func (p *mover) keepFromEdges() {
	for _, e := range p.edges {
		p.above(e, func(i int) {
			if p.open[i] {
				p.open[i] = false
				p.heads[p.padded(i)] = 0
				p.why[i] = zoning.NearDropOff
			}
		})
	}
}

// above visits the cells above a drop that the machine keeps off.
func (p *mover) above(e Edge, visit func(i int)) {
	z := func(i int) float64 { return float64(p.Grid.Z[i/p.cols*p.Grid.Stride+i%p.cols]) }
	middle := z(e.Cell) - e.DropM/2
	p.eachNear(e.Cell, p.keepBackM(e), func(i int) {
		if z(i) > middle {
			visit(i)
		}
	})
}
