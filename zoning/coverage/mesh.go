package coverage

// In comes the frame of a window; out go cells whose corners are vertices, and the cells
// that an edge touches.

import (
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Window is a window of labelled cells with its place: row-major from the
// north-west, the first being cell (Col0, Row0) of the frame. Cells outside the
// window are [Unknown].
type Window struct {
	Masks      []Mask
	Cols, Rows int
	Col0, Row0 int
	Frame      *terrain.Frame

	Watch *beside.Watch // of whoever waits while the window is cut; nil where nobody does
}

// Check returns why the window cannot be cut: no frame, or masks that are not one a cell.
func (c *Window) Check() error {
	if c == nil || c.Frame == nil {
		return errors.New("there are no cells, or nobody knows where they lie: give a window with the Frame of the grid that its masks are of")
	}
	if c.Cols < 1 || c.Rows < 1 || c.Rows > math.MaxInt32/c.Cols {
		return fmt.Errorf("a window of %d columns × %d rows: give 1 or more of each, and up to 2^31-1 cells", c.Cols, c.Rows)
	}
	if n := c.Cols * c.Rows; len(c.Masks) != n {
		return fmt.Errorf("%d masks for %d cells: give one for each, row by row, Cols × Rows of them", len(c.Masks), n)
	}
	return nil
}

// outside and edge are labels that a cell of a cut has instead of a mask: ground
// outside the parcel, and cells on the boundary, whose pieces are told apart by
// the arrangement.
const (
	outside Mask = Unknown | 1
	edge    Mask = Unknown | 2
)

// mesh is the part of the frame that a cut works on: cells whose corners
// (nodes) are vertices. Between nodes, cell sides are straight in longitude and
// latitude, as they are written.
type mesh struct {
	frame      *terrain.Frame
	col0, row0 int
	cols, rows int
	unit       float64 // vertices per degree
}

func (m *mesh) vertex(lon, lat float64) Vertex {
	return Vertex{int64(math.Round(lon * m.unit)), int64(math.Round(lat * m.unit))}
}

// node is the vertex of the north-west corner of cell (col, row) of the mesh.
func (m *mesh) node(col, row int) Vertex {
	return m.vertex(m.frame.LonLat(float64(m.col0+col), float64(m.row0+row)))
}

// place returns the cell coordinates of a vertex in the mesh.
func (m *mesh) place(v Vertex) (col, row float64) {
	col, row = m.frame.Cell(float64(v.X)/m.unit, float64(v.Y)/m.unit)
	return col - float64(m.col0), row - float64(m.row0)
}

// Paddings in cells. A boundary edge is a curve on the mesh: it is followed in
// chords that stray at most chordTol from it, and every cell within edgePad of
// a chord counts as touched. A vertex belongs to all cells within vertexPad, so
// whatever lies within a few units of a cell's side is known on both sides of
// it. minCellUnits keeps those pads wider than rounding can reach.
const (
	chordTol     = 1e-3
	edgePad      = 1e-2
	vertexPad    = 5e-3
	minCellUnits = 400
)

// trace calls touch for every cell that the straight lon/lat edge ab passes
// through or comes within edgePad of, some of them more than once.
func (m *mesh) trace(a, b Vertex, touch func(col, row int)) {
	m.chords(a, b, func(c chord) bool {
		c.cells(touch)
		return true
	})
}

// chord is a straight piece of an edge in cell coordinates.
type chord struct{ ac, ar, bc, br float64 }

// chords calls visit for the chords of the straight lon/lat edge ab until it says no,
// and reports whether it never did.
func (m *mesh) chords(a, b Vertex, visit func(chord) bool) bool {
	ac, ar := m.place(a)
	bc, br := m.place(b)
	return m.halve(a, b, chord{ac, ar, bc, br}, 0, visit)
}

func (m *mesh) halve(a, b Vertex, c chord, depth int, visit func(chord) bool) bool {
	if depth < 24 && max(math.Abs(c.bc-c.ac), math.Abs(c.br-c.ar)) > 0.5 {
		mid := Vertex{a.X + (b.X-a.X)/2, a.Y + (b.Y-a.Y)/2}
		mc, mr := m.place(mid)
		if depth < 2 || math.Hypot(mc-(c.ac+c.bc)/2, mr-(c.ar+c.br)/2) > chordTol {
			return m.halve(a, mid, chord{c.ac, c.ar, mc, mr}, depth+1, visit) &&
				m.halve(mid, b, chord{mc, mr, c.bc, c.br}, depth+1, visit)
		}
	}
	return visit(c)
}

// box is the first and last columns and rows of the cells that a chord touches.
func (c chord) box() (c0, r0, c1, r1 float64) {
	return math.Floor(min(c.ac, c.bc) - edgePad), math.Floor(min(c.ar, c.br) - edgePad),
		math.Floor(max(c.ac, c.bc) + edgePad), math.Floor(max(c.ar, c.br) + edgePad)
}

// cells calls touch for every cell that a chord touches.
func (c chord) cells(touch func(col, row int)) {
	ac, ar, bc, br := c.ac, c.ar, c.bc, c.br
	if ar > br {
		ac, ar, bc, br = bc, br, ac, ar
	}
	for row := int(math.Floor(ar - edgePad)); row <= int(math.Floor(br+edgePad)); row++ {
		c0, c1 := ac, bc
		if dr := br - ar; dr > 0 {
			t0 := max(0, (float64(row)-edgePad-ar)/dr)
			t1 := min(1, (float64(row+1)+edgePad-ar)/dr)
			c0, c1 = ac+t0*(bc-ac), ac+t1*(bc-ac)
		}
		c0, c1 = min(c0, c1), max(c0, c1)
		for col := int(math.Floor(c0 - edgePad)); col <= int(math.Floor(c1+edgePad)); col++ {
			touch(col, row)
		}
	}
}

// around calls touch for every cell within vertexPad of cell coordinates.
func around(col, row float64, touch func(col, row int)) {
	for r := int(math.Floor(row - vertexPad)); r <= int(math.Floor(row+vertexPad)); r++ {
		for c := int(math.Floor(col - vertexPad)); c <= int(math.Floor(col+vertexPad)); c++ {
			touch(c, r)
		}
	}
}
