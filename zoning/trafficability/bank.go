package trafficability

import (
	"cmp"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
)

// StepsOf is the height of the bank across each cell of a grid, or the depth of the ditch, in
// meters, for [Ground.StepM]: 0 where there is none, nil where there is none at all. Banks that
// are hidden are left out: they hold no machine.
func StepsOf(g *terrain.Grid, banks []bank.Bank) []float32 {
	if !slices.ContainsFunc(banks, func(b bank.Bank) bool { return !b.Hidden }) {
		return nil
	}
	steps := make([]float32, g.Cols*g.Rows)
	for _, b := range banks {
		if b.Hidden {
			continue
		}
		for _, leg := range [2][2]int{{b.Upper, b.Cell}, {b.Cell, b.Foot}} {
			eachBetween(g.Cols, leg[0], leg[1], func(cell int) {
				steps[cell] = max(steps[cell], float32(b.HeightM))
			})
		}
	}
	return steps
}

// eachBetween visits the cells of a straight way from one to another, both among them, and
// where it goes on to a corner the cell beside it, so that no way leads through.
func eachBetween(cols, from, to int, visit func(cell int)) {
	c, r := from%cols, from/cols
	dc, dr := to%cols-c, to/cols-r
	n := max(dc, -dc, dr, -dr)
	visit(from)
	for k, before := 1, from; k <= n; k++ {
		cell := (r+divided(dr*k, n))*cols + c + divided(dc*k, n)
		if cell%cols != before%cols && cell/cols != before/cols {
			visit(before/cols*cols + cell%cols)
		}
		visit(cell)
		before = cell
	}
}

// divided is a quotient rounded to the nearest, halves away from 0.
func divided(a, n int) int {
	if a < 0 {
		return -divided(-a, n)
	}
	return (2*a + n) / (2 * n)
}

// withBanks adds to the edges of drop-offs those of banks and ditches that may be as high as
// one, and gives those that run along a bank the range of its height.
func withBanks(g *terrain.Grid, edges []Edge, banks []bank.Bank) []Edge {
	at := make(map[int]int, len(edges))
	for i, e := range edges {
		at[e.Cell] = i
	}
	var added []Edge
	add := func(b *bank.Bank, upper, foot int) {
		known := false
		for v := -1; v <= 1; v++ {
			for u := -1; u <= 1; u++ {
				if c := upper%g.Cols + u; c < 0 || c >= g.Cols {
					continue
				}
				if i, ok := at[upper+v*g.Cols+u]; ok && i < len(edges) {
					e := &edges[i]
					half := max(e.HighM-e.DropM, (b.HighM-b.LowM)/2)
					e.LowM, e.HighM, known = max(0, e.DropM-half), e.DropM+half, true
				}
			}
		}
		if known || b.HighM < leastDropM {
			return
		}
		e := Edge{Cell: upper, Foot: foot, DropM: b.HeightM, LowM: b.LowM, HighM: b.HighM}
		if i, ok := at[upper]; !ok {
			at[upper] = len(edges) + len(added)
			added = append(added, e)
		} else if of := &added[i-len(edges)]; of.DropM < e.DropM {
			*of = e
		}
	}
	for i := range banks {
		b := &banks[i]
		switch {
		case b.Hidden:
		case b.Kind == bank.Step:
			add(b, b.Upper, b.Foot)
		default:
			add(b, b.Upper, b.Cell)
			add(b, b.Foot, b.Cell)
		}
	}
	edges = append(edges, added...)
	slices.SortFunc(edges, func(a, b Edge) int { return cmp.Compare(a.Cell, b.Cell) })
	return edges
}
