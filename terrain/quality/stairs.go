package quality

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Stairs says that heights come in whole steps of a quantum.
type Stairs struct {
	QuantumM float64
	Unit     string // the quantum in words, such as "1 m" or "1 foot"

	// MeaninglessPct is the slope in percent below which Horn's slope on this
	// grid says nothing: see [FindStairs].
	MeaninglessPct float64
}

// quanta are the steps tried, coarsest first. The survey foot (1200/3937 m) is
// within 2e-6 of the foot, which differences between neighbours cannot tell.
var quanta = []struct {
	m     float64
	words string
}{
	{10, "10 m"}, {5, "5 m"}, {10 * 0.3048, "10 feet"}, {1, "1 m"}, {0.5, "half a meter"}, {0.3048, "1 foot"},
	{0.1, "1 dm"}, {0.03048, "a tenth of a foot"}, {0.01, "1 cm"},
}

const (
	// meaninglessPct is how much slope stairs must hide to be told of: what lies below is
	// within the error of any raster. Common practice, no source.
	meaninglessPct = 1

	// stairTolM covers heights up to 8000 m stored as float32, half a unit in
	// the last place (2.4e-4 m) for each of two.
	stairTolM = 5e-4
	// stairMisfits is the share of differences that may be no multiple; few
	// enough that no finer surface passes, chosen on the made data of the test.
	stairMisfits = 0.01
	// Differences wanted, pairs of neighbours looked at (about), and distinct
	// heights below which a grid is a few flats rather than stairs.
	stairFew, stairMany = 100, 1 << 16
	stairHeights        = 4

	// How many different multiples there must be, none counted: an even slope
	// has one. For a quantum that is not listed more are wanted, and that it is
	// at least 5 cm, since lidar heights have smaller differences than that.
	stairSorts, ownSorts = 2, 4
	ownM                 = 0.05
)

// FindStairs looks whether heights are quantised: whether all but 1 % of the
// differences between neighbours along a row, where there is one, are multiples of
// one quantum: of 10, 5, 1, ½, 0.1 and 0.01 m, or 10, 1 and 0.1 feet, the
// coarsest that fits, or else the smallest difference there is, if at least 5 cm
// (whole feet read as metres, whole metres averaged). Differences are looked at
// so that a datum's shift hides nothing. Rasters that are quantised only in part
// and those resampled since with more digits are not caught.
//
// On an evenly sloping ground stairs of quantum q have treads q/slope wide. On
// cells w wide Horn's window is two cells across: once a tread is wider than
// that, which is at a slope of q/(2w), some windows lie on one tread and read
// 0%, and those across a riser read 4q/(8w) = q/(2w): the raster knows no slope
// between. Rounding is off by at most q/2 a height, which through Horn's weights
// is again at most q/(2w) along each axis. The smaller side of a cell is w.
//
// FindStairs returns an error for a grid that cannot be used.
func FindStairs(g *terrain.Grid) (Stairs, bool, error) {
	if err := g.Check(); err != nil {
		return Stairs{}, false, err
	}
	s, found := findStairs(g)
	return s, found, nil
}

// stairDoubts tells of stairs that hide slopes worth telling.
func stairDoubts(l *Look, _ *beside.Watch) []Doubt {
	if !l.stepped || l.stairs.MeaninglessPct < meaninglessPct {
		return nil
	}
	return []Doubt{doubt(DoubtStairs, 0, "heights come in steps of %s: on this grid a slope below %.2g%% means nothing, and any slope can be off by as much", l.stairs.Unit, l.stairs.MeaninglessPct)}
}

// findStairs is FindStairs of a grid that can be used.
func findStairs(g *terrain.Grid) (Stairs, bool) {
	room := numbers.Get().(*[]float64)
	defer numbers.Put(room)
	diffs, even, heights := neighbourSteps(g, (*room)[:0])
	*room = diffs
	if len(diffs) < stairFew || heights < stairHeights {
		return Stairs{}, false
	}
	found := func(quantum float64, words string) (Stairs, bool) {
		w, h := g.MiddleCellM()
		return Stairs{quantum, words, 100 * quantum / (2 * min(w, h))}, true
	}
	for _, q := range quanta {
		if sorts, ok := multiples(diffs, q.m); ok && (sorts >= stairSorts || even) {
			return found(q.m, q.words)
		}
	}
	if slices.ContainsFunc(diffs, func(d float64) bool { return 1.5*d < ownM }) {
		return Stairs{}, false // the quantum is below one and a half of the least
	}
	if q := ownQuantum(diffs); q >= ownM {
		if sorts, _ := multiples(diffs, q); sorts >= ownSorts {
			return found(q, fmt.Sprintf("%.3g m", q))
		}
	}
	return Stairs{}, false
}

// neighbourSteps samples differences along rows beyond the tolerance, appended to diffs, and reports
// whether there are such within it (1 % of all) and how many distinct heights, up
// to [stairHeights].
func neighbourSteps(g *terrain.Grid, diffs []float64) (_ []float64, even bool, heights int) {
	every := max(1, g.Rows*g.Cols/stairMany)
	seen := make(map[float32]bool, stairHeights)
	none := 0
	for r := every / 2; r < g.Rows; r += every {
		line := g.Line(r)
		for c := 1; c < len(line); c++ {
			d := math.Abs(float64(line[c]) - float64(line[c-1]))
			switch {
			case d <= stairTolM:
				none++
			case d > stairTolM:
				diffs = append(diffs, d)
				if len(seen) < stairHeights {
					seen[line[c]] = true
				}
			}
		}
	}
	return diffs, 100*none > len(diffs), len(seen)
}

// multiples reports whether the differences are multiples of a quantum, and how
// many different ones, up to [ownSorts].
func multiples(diffs []float64, q float64) (sorts int, ok bool) {
	misfits, most := 0, int(stairMisfits*float64(len(diffs)))
	var seen [ownSorts]float64
	for _, d := range diffs {
		n := math.Round(d / q)
		if n == 0 || math.Abs(d-n*q) > stairTolM+2e-6*d {
			if misfits++; misfits > most {
				return 0, false
			}
			continue
		}
		if sorts < ownSorts && !slices.Contains(seen[:sorts], n) {
			seen[sorts] = n
			sorts++
		}
	}
	return sorts, true
}

// ownQuantum is the smallest difference, made exact by those of up to twenty
// times its size.
func ownQuantum(diffs []float64) float64 {
	least := slices.Min(diffs)
	var sum, n float64
	for _, d := range diffs {
		if k := math.Round(d / least); k <= 20 {
			sum += d
			n += k
		}
	}
	return sum / n
}
