package coverage

// Cutting begins here. In come a window of labels and a boundary in degrees; out goes a
// Coverage. For each side of the antimeridian the stages hand on: rings → mesh → noded →
// arrangement → faces → arcs.

import (
	"errors"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/beside"
)

// UnitsPerDegree is the precision of written coordinates: 9 decimals, 0.1 mm.
// Seven would change the acres of a one-acre lot by 4e-6.
const UnitsPerDegree = 1e9

var (
	// ErrTooLarge says that a parcel covers more cells than can be cut at once.
	ErrTooLarge = errors.New("the parcel covers too many cells of this raster")
	// ErrTooFine says that a parcel's boundary asks for more work than is done for one:
	// it passes through too many cells, or too many of its edges lie in one.
	ErrTooFine = errors.New("the parcel's boundary is too long or too crowded for the cells of this raster")
	// ErrCellSize says that cells are too small to be told apart as written.
	ErrCellSize = errors.New("cells must be wider than 4 cm on the ground, rows running east and columns south")
	// ErrNotFinite says that a corner of a parcel is no spot on earth.
	ErrNotFinite = errors.New("a corner of the parcel is not a finite longitude and latitude")
	// ErrCrossesItself says that a ring of a parcel crosses itself, or that a hole lies
	// outside of its shell: which side is the parcel's is then anybody's guess.
	ErrCrossesItself = errors.New("the parcel's line crosses itself, or a hole lies outside of it")
	// ErrNoGround says that a parcel has no ring with three corners.
	ErrNoGround = errors.New("the parcel has no ground")
)

// Cut cuts the masks of a window at a parcel's boundary, its ground in WGS84
// longitude and latitude. The result covers the parcel exactly:
// its outline has the owner's corners unchanged (to 9 decimals), and neighbours
// share every vertex. Ground outside the window of cells is [Unknown]. Cells
// that meet only at a corner are not joined. Parts of a parcel that overlap or
// share an edge count once; a ring that crosses itself is refused with
// [ErrCrossesItself], as a file's is refused or repaired before.
//
// Cost grows with the cells of the parcel's window, once each, and with the
// cells on its boundary. Both are counted before anything is made for them: Cut
// returns [ErrTooLarge] where the window would pass 2²⁹ cells, or 2²⁶ beyond the
// window of masks, and [ErrTooFine] where edges pass through more than 2¹⁹ cells,
// each counted once for every edge, or crowd in few of them. It takes at most
// 2 bytes for a cell of the window and 2.5 kB for a cell on the boundary.
func Cut(cells *Window, ground orb.MultiPolygon) (*Coverage, error) {
	return cutAt(cells, ground, UnitsPerDegree)
}

// cutAt is Cut with a chosen precision, in vertices per degree.
func cutAt(cells *Window, ground orb.MultiPolygon, unit float64) (*Coverage, error) {
	if err := cells.Check(); err != nil {
		return nil, err
	}
	if !finite(ground) {
		return nil, ErrNotFinite
	}
	cov := &Coverage{unit: unit}
	for _, s := range sides(ground, cells, unit) {
		part, err := cutSide(cells, s, unit)
		if err != nil {
			return nil, s.placed(err, unit)
		}
		cov.append(part)
	}
	if len(cov.Faces) == 0 {
		return nil, ErrNoGround
	}
	return cov, nil
}

func finite(ground orb.MultiPolygon) bool {
	for _, poly := range ground {
		for _, ring := range poly {
			for _, p := range ring {
				if !(math.Abs(p[0]) <= 720 && math.Abs(p[1]) <= 90) {
					return false
				}
			}
		}
	}
	return true
}

// side is the part of a parcel on one side of the antimeridian: its rings as
// vertices, shells counter-clockwise and holes clockwise, with the turn added
// to every X that brings them to where the frame has them.
type side struct {
	turn   int64
	rings  [][]Vertex
	shells int32
}

func sides(ground orb.MultiPolygon, cells *Window, unit float64) []side {
	var all []side
	for _, poly := range ground {
		mid := poly.Bound().Center()[0]
		turn := int64(math.Round((cells.Frame.Near(mid)-mid)/360)) * int64(360*unit)
		k := 0
		for k < len(all) && all[k].turn != turn {
			k++
		}
		if k == len(all) {
			all = append(all, side{turn: turn})
		}
		for i, ring := range poly {
			if r := wound(ring, i == 0, turn, unit); r != nil {
				all[k].rings = append(all[k].rings, r)
				if i == 0 {
					all[k].shells++
				}
			}
		}
	}
	return all
}

// wound returns a ring as vertices, open, without repeats, and wound
// counter-clockwise or not; nil where fewer than three corners remain.
func wound(ring orb.Ring, ccw bool, turn int64, unit float64) []Vertex {
	var vs []Vertex
	m := mesh{unit: unit}
	for _, p := range ring {
		v := m.vertex(p[0], p[1])
		v.X += turn
		if len(vs) == 0 || vs[len(vs)-1] != v {
			vs = append(vs, v)
		}
	}
	for len(vs) > 1 && vs[0] == vs[len(vs)-1] {
		vs = vs[:len(vs)-1]
	}
	if len(vs) < 3 {
		return nil
	}
	if (doubleArea(vs) > 0) != ccw {
		for i, j := 0, len(vs)-1; i < j; i, j = i+1, j-1 {
			vs[i], vs[j] = vs[j], vs[i]
		}
	}
	return vs
}

// doubleArea is twice the signed area of a ring in square units.
func doubleArea(ring []Vertex) float64 {
	var sum float64
	o, prev := ring[0], ring[len(ring)-1]
	for _, v := range ring {
		sum += float64(prev.X-o.X)*float64(v.Y-o.Y) - float64(v.X-o.X)*float64(prev.Y-o.Y)
		prev = v
	}
	return sum
}

func cutSide(cells *Window, s side, unit float64) (*Coverage, error) {
	if len(s.rings) == 0 {
		return &Coverage{unit: unit}, nil
	}
	m, err := meshAround(cells, s.rings, unit)
	if err != nil {
		return nil, err
	}
	n := newNoder(&m, s.rings)
	defer n.release()
	segments, err := n.run()
	if err != nil {
		return nil, err
	}
	around := arrange(&m, segments, &n.work, &n.arena)
	f, err := sortGround(&m, segments, around, cells, &n.arena)
	if err != nil {
		return nil, err
	}
	if err := f.crossing(s.shells); err != nil {
		return nil, err
	}
	var spans []span
	var parts []part
	var sharing beside.Group
	sharing.Go(func() { spans, parts = f.shares() })
	cov := newTracer(f).coverage()
	cov.finish(f.masks, s.turn)
	sharing.Wait()
	cov.spans, cov.parts = spans, parts
	return cov, nil
}

// shares measures how much of each cell lies inside the parcel.
func (f *faces) shares() (spans []span, parts []part) {
	dc, dr := f.mesh.col0-f.window.Col0, f.mesh.row0-f.window.Row0
	spans, parts = make([]span, 0, len(f.runs)), make([]part, 0, len(f.noded.cells))
	for row := range f.mesh.rows {
		for _, r := range f.runs[f.rowStart[row]:f.rowStart[row+1]] {
			spans = append(spans, span{row + dr, int(r.from) + dc, int(r.to) + dc})
		}
	}
	inside := make([]float64, len(f.noded.cells))
	var ring []Vertex
	for c, h := range f.arr.start {
		if f.arr.wind[c] <= 0 || f.arr.cell[c] == none {
			continue
		}
		ring = append(ring[:0], f.noded.vertices[f.arr.origin(h)])
		for g := f.arr.next(h); g != h; g = f.arr.next(g) {
			ring = append(ring, f.noded.vertices[f.arr.origin(g)])
		}
		k, _ := f.noded.cellAt.at(f.arr.cell[c])
		inside[k] += doubleArea(ring)
	}
	for k, cell := range f.noded.cells {
		if inside[k] == 0 {
			continue
		}
		c, r := int(cell)%f.mesh.cols, int(cell)/f.mesh.cols
		corners := f.noded.nodes[k]
		whole := doubleArea([]Vertex{f.noded.vertices[corners[0]], f.noded.vertices[corners[2]], f.noded.vertices[corners[3]], f.noded.vertices[corners[1]]})
		parts = append(parts, part{c + dc, r + dr, min(1, inside[k]/whole)})
	}
	return spans, parts
}
