package quality

import (
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/rank"
)

// steepness is how steep a grid is as a whole.
type steepness struct {
	MedianPct float64 // median slope in percent
	Over100   float64 // share of cells steeper than 100%
}

const (
	// Loose ground lies at some 35deg, 70%, at most, and few landscapes are
	// steeper than that by half: common practice, no source. Feet read as metres
	// are 3.28 times too steep, so a median of 21% gets there.
	feetMedianPct = 70
	// Cliffs are rarely a fifth of a landscape: common practice, no source.
	feetOver100 = 0.2

	feetCells = 1 << 11 // looked at, about
)

// findFeet looks whether slopes are such as heights in feet would give that
// were taken for metres: a median above 70%, or more than a fifth of the cells
// above 100%. It cannot tell feet on gentle ground from metres on steep ground,
// and high mountains, badlands and gorges trip it. Slope is Horn's.
func findFeet(g *terrain.Grid) (steepness, bool) {
	every := max(1, int(math.Sqrt(float64(g.Rows*g.Cols/feetCells))))
	room := numbers.Get().(*[]float64)
	defer numbers.Put(room)
	squared, over := (*room)[:0], 0
	for r := 1; r+1 < g.Rows; r += every {
		up, mid, down := g.Line(r-1), g.Line(r), g.Line(r+1)
		m := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0+r)+0.5)
		for c := 1; c+1 < len(mid); c += every {
			nw, n, ne := float64(up[c-1]), float64(up[c]), float64(up[c+1])
			w, e := float64(mid[c-1]), float64(mid[c+1])
			sw, s, se := float64(down[c-1]), float64(down[c]), float64(down[c+1])
			p := ((ne - nw) + 2*(e-w) + (se - sw)) / 8
			q := ((sw - nw) + 2*(s-n) + (se - ne)) / 8
			slope2 := m.A*p*p + 2*m.B*p*q + m.C*q*q
			if slope2 != slope2 {
				continue
			}
			squared = append(squared, slope2)
			if slope2 > 1 {
				over++
			}
		}
	}
	*room = squared
	n := len(squared)
	if n == 0 {
		return steepness{}, false
	}
	s := steepness{100 * math.Sqrt(rank.Nth(squared, n/2)), float64(over) / float64(n)}
	return s, s.MedianPct > feetMedianPct || s.Over100 > feetOver100
}

// feetDoubts tells of feet that may have been taken for metres, where no unit was declared.
func feetDoubts(l *Look, _ *beside.Watch) []Doubt {
	if !l.assumedMetres {
		return nil
	}
	f, steep := findFeet(l.grid)
	if !steep {
		return nil
	}
	return []Doubt{doubt(DoubtFeet, 0, "half of the ground is steeper than %.0f%% and %.0f%% of it steeper than 100%%: heights may be feet that were taken for meters (declare the unit); mountains can be that steep", f.MedianPct, 100*f.Over100)}
}
