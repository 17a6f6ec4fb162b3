package field

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"github.com/acreband/acreband/zoning"
)

// candidate is a cell that may be picked.
type candidate struct {
	col, row int
	ground   orb.Point // meters, in the window's plane
	tips     bool
	hazard   string
	// rank orders cells of a block, the least first: points under the limit where
	// the band could tip, else cells from the middle of the block.
	rank float64
}

func (c candidate) weight() float64 {
	w := 1.0
	if c.tips {
		w++
	}
	if c.hazard != "" {
		w += 0.5
	}
	return w
}

// before reports whether c is picked rather than o, each so far from what is taken.
func (c candidate) before(o candidate, away, oAway float64) bool {
	by := cmp.Or(cmp.Compare(c.weight()*away, o.weight()*oAway), cmp.Compare(c.weight(), o.weight()))
	if by == 0 && c.tips { // and o: they weigh the same
		by = cmp.Compare(o.rank, c.rank)
	}
	return by > 0
}

// blocksPerSpot is how many blocks across the share of one spot is divided into:
// spots are spread as well as an eighth of their spacing allows.
const blocksPerSpot = 8

// block is a square of cells, parted into those where the band could tip and the
// others.
type block struct {
	col, row int
	tips     bool
}

// candidates thins the cells of a zone, so many of them whole, to the best of each
// block; cells at hazards are all kept. Blocks are those of the raster, not of its
// window.
func (g *Ground) candidates(lot zoning.LotMap, band, whole, n int) []candidate {
	side := max(1, int(math.Sqrt(float64(whole)/float64(n))/blocksPerSpot))
	hazards, ground, limits := g.hazardCells(), g.plane(), g.limits()
	at := map[block]int{}
	var out []candidate
	g.eachZoneCell(lot, band, whole >= n, func(col, row int) {
		c, b := g.candidate(col, row, side, limits)
		k, seen := at[b]
		c.hazard = hazards[[2]int{col, row}]
		if c.hazard == "" && seen && c.rank >= out[k].rank {
			return
		}
		c.ground = ground(col, row)
		switch {
		case c.hazard == "" && seen:
			out[k] = c
			return
		case c.hazard == "":
			at[b] = len(out)
		}
		out = append(out, c)
	})
	slices.SortFunc(out, func(a, b candidate) int {
		return cmp.Or(cmp.Compare(a.row, b.row), cmp.Compare(a.col, b.col))
	})
	return out
}

func floorDiv(a, b int) int { return int(math.Floor(float64(a) / float64(b))) }

func (g *Ground) candidate(col, row, side int, limits []limits) (candidate, block) {
	c, i := candidate{col: col, row: row}, row*g.Cells.Cols+col
	col, row = col+g.Cells.Col0, row+g.Cells.Row0
	b := block{floorDiv(col, side), floorDiv(row, side), false}
	if k := g.Cells.Masks[i].First(); k >= 0 {
		if limit, _ := g.limit(i, k, limits[k]); g.couldTip(i, k, limit) {
			b.tips, c.tips, c.rank = true, true, limit-g.pct(i)
			return c, b
		}
	}
	mid := float64(side-1) / 2
	c.rank = math.Hypot(float64(col-b.col*side)-mid, float64(row-b.row*side)-mid)
	return c, b
}

// plane gives the middles of cells in meters, by the metric of the middle of the
// window.
func (g *Ground) plane() func(col, row int) orb.Point {
	e, f, h := g.metric(g.Cells.Cols/2, g.Cells.Rows/2).Plane()
	return func(col, row int) orb.Point {
		return orb.Point{e*float64(col) + f*float64(row), h * float64(row)}
	}
}

// wholeCells counts, for each band, the cells that lie inside a lot whole.
func (g *Ground) wholeCells(lot zoning.LotMap) []int {
	n := make([]int, len(g.Fleet.Bands()))
	lot.Coverage.EachCell(func(col, row int, share float64) {
		if i, inside := g.index(col, row); inside && share == 1 {
			n[g.Fleet.Band(g.Cells.Masks[i])]++
		}
	})
	return n
}

// eachZoneCell visits a zone's cells that lie inside the lot whole and, unless
// those are enough, the others whose middle does.
func (g *Ground) eachZoneCell(lot zoning.LotMap, band int, wholeOnly bool, visit func(col, row int)) {
	var outline orb.MultiPolygon
	lot.Coverage.EachCell(func(col, row int, share float64) {
		i, inside := g.index(col, row)
		if !inside || g.Fleet.Band(g.Cells.Masks[i]) != band || share < 1 && wholeOnly {
			return
		}
		if share < 1 {
			if outline == nil {
				outline = lot.Coverage.Outline()
			}
			if !planar.MultiPolygonContains(outline, g.place(float64(col)+0.5, float64(row)+0.5)) {
				return
			}
		}
		visit(col, row)
	})
}

// hazardCells is what is dangerous at each cell that holds a hazard.
func (g *Ground) hazardCells() map[[2]int]string {
	out := map[[2]int]string{}
	for _, h := range g.Hazards {
		col, row, inside := g.cell(h.At)
		if !inside {
			continue
		}
		cell := [2]int{col, row}
		if out[cell] != "" {
			out[cell] += "; "
		}
		out[cell] += h.Words
	}
	return out
}
