package field

import (
	"math"

	"github.com/acreband/acreband/zoning"
)

// MaxSightM is the farthest that a slope is sighted from: 200 ft (common practice,
// no source).
const MaxSightM = 200 * zoning.MetresPerFoot

// footing is the ground that people may walk on and can walk to.
type footing struct {
	*Ground
	onFoot []bool // by cell
}

// newFooting finds it: walkable cells that others join, side by side, to where
// people come from.
func newFooting(g *Ground) *footing {
	f := &footing{g, make([]bool, len(g.Cells.Masks))}
	steepest := zoning.SteepestFootPct(g.On)
	upper := float32((steepest/100 - zoning.TieRise) * (steepest/100 - zoning.TieRise))
	if g.FootPct > 0 {
		steepest = min(steepest, g.FootPct)
	}
	walkable := func(i int) bool {
		band := g.Fleet.Band(g.Cells.Masks[i])
		return band != g.Fleet.NoGoBand() && band != g.Fleet.UnknownBand() && within(g.pct(i), steepest) &&
			(g.Field.UpperSquared == nil || g.Field.UpperSquared[i] < upper)
	}
	var ahead [][2]int
	step := func(col, row int) {
		if i, inside := g.index(col, row); inside && !f.onFoot[i] && walkable(i) {
			f.onFoot[i] = true
			ahead = append(ahead, [2]int{col, row})
		}
	}
	for _, p := range g.Staging {
		if col, row, inside := g.cell(p); inside {
			step(col, row)
		}
	}
	if len(g.Staging) == 0 {
		for _, at := range g.rim() {
			step(at[0], at[1])
		}
	}
	for len(ahead) > 0 {
		at := ahead[len(ahead)-1]
		ahead = ahead[:len(ahead)-1]
		step(at[0]-1, at[1])
		step(at[0]+1, at[1])
		step(at[0], at[1]-1)
		step(at[0], at[1]+1)
	}
	return f
}

// rim lists the cells of lots that lie at their boundary.
func (g *Ground) rim() (cells [][2]int) {
	lotOf := make([]int32, len(g.Cells.Masks)) // from 1; 0 outside
	for k, lot := range g.Lots {
		lot.Coverage.EachCell(func(col, row int, _ float64) {
			if i, inside := g.index(col, row); inside {
				lotOf[i] = int32(k + 1)
			}
		})
	}
	for _, lot := range g.Lots {
		lot.Coverage.EachCell(func(col, row int, share float64) {
			i, inside := g.index(col, row)
			if !inside {
				return
			}
			for _, d := range [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
				j, inside := g.index(col+d[0], row+d[1])
				if share < 1 || !inside || lotOf[j] != lotOf[i] {
					cells = append(cells, [2]int{col, row})
					return
				}
			}
		})
	}
	return cells
}

// sight finds the nearest ground up or down the fall line to sight a cell from,
// within [MaxSightM]; the toe where both are as near.
func (f *footing) sight(col, row int) *Sight {
	dCol, dRow, ok := f.downhill(col, row)
	if !ok {
		return nil
	}
	w, h := f.metric(col, row).CellM()
	stepM := min(w, h) / 2
	for n := 1; float64(n)*stepM <= MaxSightM; n++ {
		d := float64(n) * stepM
		for _, way := range []struct {
			from string
			sign float64
		}{{"toe", 1}, {"crest", -1}} {
			c, r := float64(col)+0.5+way.sign*d*dCol, float64(row)+0.5+way.sign*d*dRow
			i, inside := f.index(int(math.Floor(c)), int(math.Floor(r)))
			if inside && f.onFoot[i] {
				at := f.place(c, r)
				return &Sight{at, way.from, d, bearing(at, f.place(float64(col)+0.5, float64(row)+0.5))}
			}
		}
	}
	return nil
}
