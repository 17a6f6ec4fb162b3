package mapping

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// hiddenBanks draws where banks are likely whose faces the cells do not show, in or near the
// lots. They hold no machine.
func (t *teller) hiddenBanks(near []bool) {
	lines := map[int]*hiddenBank{}
	var order []int
	for _, b := range t.rims.banks {
		if !b.Hidden || !near[b.Cell] {
			continue
		}
		h := lines[b.Line]
		if h == nil {
			h = &hiddenBank{lowM: math.Inf(1)}
			lines[b.Line], order = h, append(order, b.Line)
		}
		h.cells = append(h.cells, b.Cell)
		h.lowM, h.highM = min(h.lowM, b.LowM), max(h.highM, b.HighM)
	}
	for _, line := range order {
		h := lines[line]
		slices.Sort(h.cells)
		for _, chain := range chains(h.cells, t.Elevation.Grid.Cols, t.watch) {
			if len(chain) >= leastEdgeCells {
				t.add(zoning.BankLikely, t.lineOf(chain), "bank likely here, %s high: the cells do not show whether it is a face or a slope", t.m.Units.Between(h.lowM, h.highM))
			}
		}
	}
}

// hiddenBank is one line of a hidden bank.
type hiddenBank struct {
	cells       []int
	lowM, highM float64
}

// rangeOf is the range of a height in brackets; nothing where it is not known.
func rangeOf(u measure.Units, lowM, highM float64) string {
	if highM == 0 {
		return ""
	}
	return " (" + u.Between(lowM, highM) + ")"
}
