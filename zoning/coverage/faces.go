package coverage

import "sort"

// run is a stretch of untouched cells of one label in a row, From ≤ col < To.
type run struct {
	from, to int32
	label    Mask
}

// faces sorts a cut's ground into connected pieces of one mask.
type faces struct {
	*arrangement
	window *Window
	label  []Mask // by cell: a mask, outside, or edge

	halfLabel []Mask // by half-edge: the mask on its left, or outside

	runs     []run
	rowStart []int32 // first run of each row
	parent   []int32 // union-find over cycles, then runs
	index    []int32 // face of each root; none outside
	masks    []Mask  // by face
}

// fill settles what is inside: row by row for the untouched cells, whose
// winding number is that of the cell before them unless a touched cell lies
// between.
func (f *faces) fill() error {
	for row := range f.rows {
		f.window.Watch.Did(f.cols)
		wind := int32(0)
		base, line := int32(row*f.cols), f.lineOf(row)
		for col := range int32(f.cols) {
			cell := base + col
			if f.label[cell] == edge {
				if col > 0 && f.label[cell-1] != edge {
					if err := f.seed(cell, wind); err != nil {
						return err
					}
				}
				continue
			}
			if col > 0 && f.label[cell-1] == edge {
				h, ok := f.westSide(cell)
				if !ok || !f.known[f.cycle[h^1]] {
					return errTangled
				}
				wind = f.wind[f.cycle[h^1]]
			}
			f.label[cell] = outside
			if wind > 0 {
				f.label[cell] = Unknown
				if c := int(col) + f.col0 - f.window.Col0; c >= 0 && c < len(line) {
					f.label[cell] = line[c]
				}
			}
		}
	}
	return f.settleIslands()
}

// seed settles all that is joined to the west side of a touched cell whose
// western neighbour is untouched.
func (f *faces) seed(cell, wind int32) error {
	h, ok := f.westSide(cell)
	if !ok {
		return errTangled
	}
	f.settle(f.cycle[h], wind, none)
	return nil
}

// lineOf is the row of the window that a row of the mesh lies in; nil beyond it.
func (f *faces) lineOf(row int) []Mask {
	r := f.row0 + row - f.window.Row0
	if r < 0 || r >= f.window.Rows {
		return nil
	}
	return f.window.Masks[r*f.window.Cols:][:f.window.Cols]
}

// mask is the mask of a cell of the mesh.
func (f *faces) mask(cell int32) Mask {
	col := f.col0 + int(cell)%f.mesh.cols - f.window.Col0
	row := f.row0 + int(cell)/f.mesh.cols - f.window.Row0
	if col < 0 || row < 0 || col >= f.window.Cols || row >= f.window.Rows {
		return Unknown
	}
	return f.window.Masks[row*f.window.Cols+col]
}

// check makes sure that every piece of the parcel's ground lies in some cell.
func (f *faces) check() error {
	for h := range int32(len(f.cycle)) {
		c := f.cycle[h]
		if !f.known[c] || f.wind[c] > 0 && f.leftCell(h) == none && f.cell[c] == none {
			return errTangled
		}
	}
	return nil
}

// inside tells whether the ground on the left of a half-edge is the parcel's.
func (f *faces) inside(h int32) bool { return f.wind[f.cycle[h]] > 0 }

// labelOf is the label of the ground on the left of a half-edge.
func (f *faces) labelOf(h int32) Mask {
	if !f.inside(h) {
		return outside
	}
	if cell := f.leftCell(h); cell != none {
		return f.mask(cell)
	}
	return f.mask(f.cell[f.cycle[h]])
}

func (f *faces) join() {
	f.findRuns()
	f.parent = f.arena.make(len(f.start) + len(f.runs))
	for i := range f.parent {
		f.parent[i] = int32(i)
	}
	f.joinRows()
	f.halfLabel = make([]Mask, 2*len(f.segments))
	for h := range f.halfLabel {
		f.halfLabel[h] = f.labelOf(int32(h))
	}
	for s := range f.segments {
		h := int32(2 * s)
		if l := f.halfLabel[h]; l != outside && l == f.halfLabel[h^1] {
			f.union(f.element(h), f.element(h^1))
		}
	}
	for _, l := range f.links {
		f.union(l[0], l[1])
	}
	f.number()
}

func (f *faces) findRuns() {
	f.rowStart = f.arena.make(f.rows + 1)
	for row := range f.rows {
		f.window.Watch.Did(f.cols)
		f.rowStart[row] = int32(len(f.runs))
		line := f.label[row*f.cols : (row+1)*f.cols]
		for c := 0; c < len(line); {
			l, from := line[c], c
			for c++; c < len(line) && line[c] == l; c++ {
			}
			if l != outside && l != edge {
				f.runs = append(f.runs, run{int32(from), int32(c), l})
			}
		}
	}
	f.rowStart[f.rows] = int32(len(f.runs))
}

// joinRows unites runs that share a cell side with the row above.
func (f *faces) joinRows() {
	base := int32(len(f.start))
	for row := 1; row < f.rows; row++ {
		i, j := f.rowStart[row-1], f.rowStart[row]
		for i < f.rowStart[row] && j < f.rowStart[row+1] {
			a, b := f.runs[i], f.runs[j]
			if a.label == b.label && a.from < b.to && b.from < a.to {
				f.union(base+i, base+j)
			}
			if a.to <= b.to {
				i++
			} else {
				j++
			}
		}
	}
}

func (f *faces) root(i int32) int32 {
	for f.parent[i] != i {
		f.parent[i] = f.parent[f.parent[i]]
		i = f.parent[i]
	}
	return i
}

func (f *faces) union(i, j int32) {
	i, j = f.root(i), f.root(j)
	f.parent[max(i, j)] = min(i, j)
}

// element is the union-find element of the ground on the left of a half-edge.
func (f *faces) element(h int32) int32 {
	if cell := f.leftCell(h); cell != none && f.label[cell] != edge {
		return f.runElement(cell)
	}
	return f.cycle[h]
}

func (f *faces) runElement(cell int32) int32 {
	row, col := cell/int32(f.cols), cell%int32(f.cols)
	lo, hi := int(f.rowStart[row]), int(f.rowStart[row+1])
	i := lo + sort.Search(hi-lo, func(k int) bool { return f.runs[lo+k].to > col })
	return int32(len(f.start) + i)
}

// number gives each connected piece inside the parcel its face.
func (f *faces) number() {
	f.index = f.arena.make(len(f.parent))
	for i := range f.index {
		f.index[i] = none
	}
	take := func(i int32, m Mask) {
		if r := f.root(i); f.index[r] == none {
			f.index[r] = int32(len(f.masks))
			f.masks = append(f.masks, m)
		}
	}
	for i, r := range f.runs {
		take(int32(len(f.start)+i), r.label)
	}
	for c, w := range f.wind {
		if w > 0 && f.cell[c] != none {
			take(int32(c), f.mask(f.cell[c]))
		}
	}
}

// face is the face on the left of a half-edge, none outside.
func (f *faces) face(h int32) int32 {
	if !f.inside(h) {
		return none
	}
	return f.index[f.root(f.element(h))]
}

// cellFace is the face of an untouched cell, none outside.
func (f *faces) cellFace(cell int32) int32 {
	if f.label[cell] == outside {
		return none
	}
	return f.index[f.root(f.runElement(cell))]
}
