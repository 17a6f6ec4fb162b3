package coverage

// In come the places of vertices; out go those in a stretch of a row of cells.

import (
	"cmp"
	"math"
	"slices"
)

// vertexIndex finds the vertices of arcs by the cells they lie in.
type vertexIndex struct {
	row0    int
	start   []int32 // by row: its first entry; one more at the end
	entries []entry // row by row, each from west to east
}

type entry struct {
	col        float64
	arc, place int32 // vertex of which arc
}

// indexVertices indexes vertices given by arc, in cell coordinates.
func indexVertices(at [][][2]float64) vertexIndex {
	row := func(p [2]float64) int { return int(math.Floor(p[1])) }
	row0, row1, n := math.MaxInt, math.MinInt, 0
	for _, arc := range at {
		for _, p := range arc {
			row0, row1 = min(row0, row(p)), max(row1, row(p))
		}
		n += len(arc)
	}
	x := vertexIndex{row0: row0, start: make([]int32, row1-row0+2), entries: make([]entry, n)}
	for _, arc := range at {
		for _, p := range arc {
			x.start[row(p)-row0+1]++
		}
	}
	for k := 1; k < len(x.start); k++ {
		x.start[k] += x.start[k-1]
	}
	next := slices.Clone(x.start)
	for a, arc := range at {
		for i, p := range arc {
			k := row(p) - row0
			x.entries[next[k]] = entry{p[0], int32(a), int32(i)}
			next[k]++
		}
	}
	for k := 1; k < len(x.start); k++ {
		slices.SortFunc(x.entries[x.start[k-1]:x.start[k]], func(e, f entry) int {
			return cmp.Or(cmp.Compare(e.col, f.col), cmp.Compare(e.arc, f.arc), cmp.Compare(e.place, f.place))
		})
	}
	return x
}

// between lists the vertices in a row from one column to another.
func (x *vertexIndex) between(row int, from, to float64) []entry {
	k := row - x.row0
	if k < 0 || k+1 >= len(x.start) {
		return nil
	}
	line := x.entries[x.start[k]:x.start[k+1]]
	byCol := func(e entry, col float64) int { return cmp.Compare(e.col, col) }
	i, _ := slices.BinarySearchFunc(line, from, byCol)
	line = line[i:]
	j := 0
	for j < len(line) && line[j].col <= to {
		j++
	}
	return line[:j]
}
