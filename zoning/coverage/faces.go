package coverage

// Third stage: in come cycles and a window's labels; out go connected pieces of ground of
// one label, and which piece lies on the left of each half-edge and in each cell.

import (
	"slices"
	"sort"
)

// run is a stretch of untouched cells of one label in a row, From ≤ col < To.
type run struct {
	from, to int32
	label    Mask
}

// faces sorts a cut's ground into connected pieces of one mask.
type faces struct {
	mesh   *mesh
	noded  *noded
	arr    *arrangement
	arena  *arena
	window *Window
	label  []Mask // by cell: a mask, outside, or edge

	touched   []Mask // by touched cell: its mask
	halfLabel []Mask // by half-edge: the mask on its left, or outside

	runs     []run
	rowStart []int32 // first run of each row
	pieces   forest  // of cycles, then runs
	index    []int32 // face of each root; none outside
	masks    []Mask  // by face
}

// sortGround finds the faces of the ground within a boundary that goes around the
// parcel counter-clockwise: all but their areas.
func sortGround(m *mesh, n *noded, a *arrangement, cells *Window, scratch *arena) (*faces, error) {
	f := &faces{mesh: m, noded: n, arr: a, arena: scratch, window: cells, label: scratch.makeMasks(m.cols * m.rows), touched: scratch.makeMasks(len(n.cells)), runs: scratch.runs}
	for k, cell := range n.cells {
		f.label[cell], f.touched[k] = edge, f.mask(cell)
	}
	if err := f.fill(); err != nil {
		return nil, err
	}
	if err := f.check(); err != nil {
		return nil, err
	}
	f.join()
	return f, nil
}

// fill settles what is inside: row by row for the untouched cells, whose
// winding number is that of the cell before them unless a touched cell lies
// between.
func (f *faces) fill() error {
	for row := range f.mesh.rows {
		f.window.Watch.Did(f.mesh.cols)
		wind := int32(0)
		base, line := int32(row*f.mesh.cols), f.lineOf(row)
		for col := 0; col < f.mesh.cols; {
			cell := base + int32(col)
			if f.label[cell] == edge {
				if col > 0 && f.label[cell-1] != edge {
					if err := f.seed(cell, wind); err != nil {
						return err
					}
				}
				col++
				continue
			}
			if col > 0 { // the cell before is touched
				h, ok := f.arr.westSide(cell)
				if !ok || !f.arr.known[f.arr.cycle[h^1]] {
					return f.undecided(cell)
				}
				wind = f.arr.wind[f.arr.cycle[h^1]]
			}
			untouched := f.label[cell : base+int32(f.mesh.cols)]
			if end := slices.Index(untouched, edge); end >= 0 {
				untouched = untouched[:end]
			}
			f.fillRun(untouched, line, f.mesh.col0+col-f.window.Col0, wind > 0)
			col += len(untouched)
		}
	}
	return f.arr.settleIslands()
}

// fillRun labels untouched cells in a row by the window's, of which the first lies in a column.
func (f *faces) fillRun(cells, line []Mask, col int, inside bool) {
	for i := range cells {
		switch {
		case !inside:
			cells[i] = outside
		case col+i >= 0 && col+i < len(line):
			cells[i] = line[col+i]
		default:
			cells[i] = Unknown
		}
	}
}

// seed settles all that is joined to the west side of a touched cell whose
// western neighbour is untouched.
func (f *faces) seed(cell, wind int32) error {
	h, ok := f.arr.westSide(cell)
	if !ok {
		return f.undecided(cell)
	}
	f.arr.settle(f.arr.cycle[h], wind, none)
	return nil
}

// undecided is the fault of a cell that could not be told inside or outside.
func (f *faces) undecided(cell int32) error {
	return &fault{errUndecided, f.mesh.node(int(cell)%f.mesh.cols, int(cell)/f.mesh.cols)}
}

// lineOf is the row of the window that a row of the mesh lies in; nil beyond it.
func (f *faces) lineOf(row int) []Mask {
	r := f.mesh.row0 + row - f.window.Row0
	if r < 0 || r >= f.window.Rows {
		return nil
	}
	return f.window.Masks[r*f.window.Cols:][:f.window.Cols]
}

// mask is the mask of a cell of the mesh.
func (f *faces) mask(cell int32) Mask {
	col := f.mesh.col0 + int(cell)%f.mesh.cols - f.window.Col0
	row := f.mesh.row0 + int(cell)/f.mesh.cols - f.window.Row0
	if col < 0 || row < 0 || col >= f.window.Cols || row >= f.window.Rows {
		return Unknown
	}
	return f.window.Masks[row*f.window.Cols+col]
}

// check makes sure that every piece of the parcel's ground lies in some cell.
func (f *faces) check() error {
	for h := range int32(len(f.arr.cycle)) {
		c := f.arr.cycle[h]
		if !f.arr.known[c] || f.arr.wind[c] > 0 && f.arr.leftCell(h) == none && f.arr.cell[c] == none {
			return &fault{errUndecided, f.noded.vertices[f.arr.origin(h)]}
		}
	}
	return nil
}

// inside reports whether the ground on the left of a half-edge is the parcel's.
func (f *faces) inside(h int32) bool { return f.arr.wind[f.arr.cycle[h]] > 0 }

// labelOf is the label of the ground on the left of a half-edge.
func (f *faces) labelOf(h int32) Mask {
	if !f.inside(h) {
		return outside
	}
	cell := f.arr.leftCell(h)
	if cell == none {
		cell = f.arr.cell[f.arr.cycle[h]]
	}
	if l := f.label[cell]; l != edge {
		return l
	}
	k, _ := f.noded.cellAt.at(cell)
	return f.touched[k]
}

func (f *faces) join() {
	f.findRuns()
	f.pieces = newForest(f.arena.make(len(f.arr.start) + len(f.runs)))
	f.joinRows()
	f.halfLabel = f.arena.makeMasks(2 * len(f.noded.segments))
	for h := range f.halfLabel {
		f.halfLabel[h] = f.labelOf(int32(h))
	}
	for s := range f.noded.segments {
		h := int32(2 * s)
		if l := f.halfLabel[h]; l != outside && l == f.halfLabel[h^1] {
			f.pieces.union(f.element(h), f.element(h^1))
		}
	}
	for _, l := range f.arr.links {
		f.pieces.union(l[0], l[1])
	}
	f.number()
}

func (f *faces) findRuns() {
	f.rowStart = f.arena.make(f.mesh.rows + 1)
	for row := range f.mesh.rows {
		f.window.Watch.Did(f.mesh.cols)
		f.rowStart[row] = int32(len(f.runs))
		line := f.label[row*f.mesh.cols : (row+1)*f.mesh.cols]
		for c := 0; c < len(line); {
			l, from := line[c], c
			for c++; c < len(line) && line[c] == l; c++ {
			}
			if l != outside && l != edge {
				f.runs = append(f.runs, run{int32(from), int32(c), l})
			}
		}
	}
	f.rowStart[f.mesh.rows] = int32(len(f.runs))
	f.arena.runs = f.runs
}

// joinRows unites runs that share a cell side with the row above.
func (f *faces) joinRows() {
	base := int32(len(f.arr.start))
	for row := 1; row < f.mesh.rows; row++ {
		i, j := f.rowStart[row-1], f.rowStart[row]
		for i < f.rowStart[row] && j < f.rowStart[row+1] {
			a, b := f.runs[i], f.runs[j]
			if a.label == b.label && a.from < b.to && b.from < a.to {
				f.pieces.union(base+i, base+j)
			}
			if a.to <= b.to {
				i++
			} else {
				j++
			}
		}
	}
}

// element is, among the pieces, that of the ground on the left of a half-edge.
func (f *faces) element(h int32) int32 {
	if cell := f.arr.leftCell(h); cell != none && f.label[cell] != edge {
		return f.runElement(cell)
	}
	return f.arr.cycle[h]
}

func (f *faces) runElement(cell int32) int32 {
	row, col := cell/int32(f.mesh.cols), cell%int32(f.mesh.cols)
	lo, hi := int(f.rowStart[row]), int(f.rowStart[row+1])
	i := lo + sort.Search(hi-lo, func(k int) bool { return f.runs[lo+k].to > col })
	return int32(len(f.arr.start) + i)
}

// number gives each connected piece inside the parcel its face.
func (f *faces) number() {
	f.index = f.arena.make(len(f.pieces))
	for i := range f.index {
		f.index[i] = none
	}
	take := func(i int32, m Mask) {
		if r := f.pieces.root(i); f.index[r] == none {
			f.index[r] = int32(len(f.masks))
			f.masks = append(f.masks, m)
		}
	}
	for i, r := range f.runs {
		take(int32(len(f.arr.start)+i), r.label)
	}
	for c, w := range f.arr.wind {
		if w > 0 && f.arr.cell[c] != none {
			take(int32(c), f.mask(f.arr.cell[c]))
		}
	}
}

// face is the face on the left of a half-edge, none outside.
func (f *faces) face(h int32) int32 {
	if !f.inside(h) {
		return none
	}
	return f.index[f.pieces.root(f.element(h))]
}

// cellFace is the face of an untouched cell, none outside.
func (f *faces) cellFace(cell int32) int32 {
	if f.label[cell] == outside {
		return none
	}
	return f.index[f.pieces.root(f.runElement(cell))]
}
