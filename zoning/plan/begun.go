package plan

import (
	"cmp"
	"math"
	"slices"

	"github.com/acreband/acreband/zoning"
)

// spot is a cell of a lot, both by place.
type spot struct{ lot, cell int }

// begun is ground of one key in one lot that days or budget let the crew clear a part of.
type begun struct {
	cells []begunCell
	all   float64 // cells, each by its share in the lot
}

type begunCell struct {
	cell        int
	share, farM float64 // in the lot, and from where machines unload
}

// beyond are the spots that the crew does not get to on ground of which it clears a part:
// those farthest from where it unloads, so that the acres drawn are those of the plan to within
// half a cell. Empty where all that is begun is finished.
func (a *assigner) beyond() map[spot]bool {
	partly := false
	for _, w := range a.p.workers {
		partly = partly || w.partly()
	}
	out := map[spot]bool{}
	if !partly {
		return out
	}
	for n, lot := range a.m.Lots {
		for key, part := range a.begunIn(lot) {
			slices.SortFunc(part.cells, func(c, d begunCell) int { return cmp.Or(cmp.Compare(c.farM, d.farM), cmp.Compare(c.cell, d.cell)) })
			left := a.p.workers[key].Share * part.all
			for _, c := range part.cells {
				if left < c.share/2 {
					out[spot{n, c.cell}] = true
				}
				left -= c.share
			}
		}
	}
	return out
}

func (a *assigner) begunIn(lot zoning.LotMap) map[pieceKey]*begun {
	parts := map[pieceKey]*begun{}
	lot.Coverage.EachCell(func(col, row int, share float64) {
		if !a.inside(col, row) {
			return
		}
		cell := row*a.m.Cells.Cols + col
		mask := a.m.Cells.Masks[cell]
		key := a.key(cell, a.m.Fleet.Band(mask), mask)
		if !a.p.workers[key].partly() {
			return
		}
		if parts[key] == nil {
			parts[key] = &begun{}
		}
		x, y := a.plane.At(float64(col)+0.5, float64(row)+0.5)
		parts[key].cells = append(parts[key].cells, begunCell{cell, share, math.Hypot(x-a.p.landing[0], y-a.p.landing[1])})
		parts[key].all += share
	})
	return parts
}
