package site

import (
	"cmp"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/paulmach/orb"
)

// Ground is what features say of each cell of a grid, row·Cols + column. A slice
// is nil where no feature on the grid needs it.
type Ground struct {
	Closed    []bool // drawn as no-go, or as what is closed by its kind
	Setback   []bool // within a setback
	Selective []bool // clearing among what stays
	Travel    []bool // machines may cross, outside the parcel too
	Dry       []bool // no water, however flat

	// BearsKPa is the least pressure that the ground bears; NaN where nobody says.
	BearsKPa []float32

	// StemM and TallM are the thickest stem and the tallest growth, in meters; NaN
	// where nobody says.
	StemM, TallM []float32
	// TypicalM is the typical stem, in meters, and CommonStemM the stem that a machine must
	// handle to work there: of each cover its typical one, and where it tells none its
	// thickest. Of several covers the greatest counts; NaN where nobody says.
	TypicalM, CommonStemM []float32

	// Class and StemsPerAcre are those of the thickest cover there: that of the
	// highest class, and of several with the same that with the most stems.
	// NoClass and 0 where nobody says.
	Class        []Class
	StemsPerAcre []float32

	// BeyondLineM is the horizontal distance to an overhead line less its
	// [ClearanceM], or less its setback if that is wider, of the line where that
	// is least; below 0 within the clearance, +Inf beyond [LineCareM].
	BeyondLineM []float32

	// Staging are the cells where the trailer may unload, in ascending order:
	// those that a point or a line touches, and whose middles lie in an area.
	Staging []int

	// Away counts the features that lie beyond the grid, and too far from it to say
	// anything of its cells: for people [zoning.DefaultThrownM]. Those of a map that others
	// drew are not counted: it holds the neighborhood.
	Away int
}

// LineCareM is how far beyond its clearance an overhead line is minded, in meters:
// more than any boom reaches, and than most trees are tall (planning value, no
// source).
const LineCareM = 60

// Lay lays features on a grid. The package comment says which cells count. Travel ground,
// staging areas and bridges that were drawn for the job open what a map of others closes
// there. The
// time it takes grows with the cells within reach of a feature; features
// elsewhere cost next to nothing. A feature that [Feature.Check] refuses and a grid that
// cannot be used are errors.
func Lay(features []Feature, g *terrain.Grid) (*Ground, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	for _, f := range features {
		if err := f.Check(); err != nil {
			return nil, err
		}
	}
	l := layer{grid: g, cells: g.Cols * g.Rows, ground: &Ground{}, reliefM: -1}
	var staging []bool
	lay := func(f Feature) {
		p := newPlot(g, f.Geometry, l.reachM(f))
		if len(p.edges) == 0 {
			if !f.Lent() {
				l.ground.Away++
			}
			return
		}
		if f.Kind == Staging {
			l.mark(&staging, p, f.Geometry.Dimensions() < 2)
			return
		}
		l.permit(f, p)
		l.forbid(f, p)
		l.keepBack(f, p)
	}
	for _, f := range features {
		if f.Lent() {
			lay(f)
		}
	}
	for _, f := range features {
		if !f.Lent() && f.opens() {
			l.open(newPlot(g, f.Geometry, 0), f.Kind == Bridge)
		}
	}
	for _, f := range features {
		if !f.Lent() {
			lay(f)
		}
	}
	for cell, is := range staging {
		if is {
			l.ground.Staging = append(l.ground.Staging, cell)
		}
	}
	return l.ground, nil
}

// layer is one run of [Lay].
type layer struct {
	grid    *terrain.Grid
	cells   int
	ground  *Ground
	reliefM float64 // below 0 until it is asked for
}

// opens reports whether a shape says that machines go there, whatever else lies there.
func (f Feature) opens() bool {
	return f.Kind == Travel || f.Kind == Bridge || f.Kind == Staging && f.Geometry.Dimensions() == 2
}

// open takes back what is laid so far to close the cells of a plot.
func (l *layer) open(p *plot, touched bool) {
	l.each(p, touched, func(cell int) {
		for _, marks := range [][]bool{l.ground.Closed, l.ground.Setback} {
			if marks != nil {
				marks[cell] = false
			}
		}
	})
}

// KeptBack is what a feature keeps machines back by: its setback, or the default one of its
// kind; the zero value is nothing.
func (f Feature) KeptBack() Setback {
	if f.Setback == (Setback{}) {
		return Setback{WidthM: defaultSetbackM[f.Kind]}
	}
	return f.Setback
}

// clearanceM is how far to keep from an overhead line.
func (f Feature) clearanceM() float64 { return max(ClearanceM(f.KV), f.Setback.WidthM) }

// reachM is how far from a feature it says anything.
func (l *layer) reachM(f Feature) float64 {
	reach := 0.0
	if s := f.KeptBack(); s != (Setback{}) {
		if s.Rule != nil && l.reliefM < 0 {
			l.reliefM = reliefM(l.grid)
		}
		reach = s.reachM(l.reliefM)
	}
	switch f.Kind {
	case OverheadLine:
		reach = max(reach, f.clearanceM()+LineCareM)
	case Building, Road, Path, Railway, People:
		reach = max(reach, zoning.DefaultThrownM)
	}
	return reach
}

// permit lays what counts where the middle of a cell lies in a shape.
func (l *layer) permit(f Feature, p *plot) {
	switch f.Kind {
	case Travel:
		l.mark(&l.ground.Travel, p, false)
	case DryGround:
		l.mark(&l.ground.Dry, p, false)
	case Cover:
		class, stems := need(&l.ground.Class, l.cells, NoClass), need(&l.ground.StemsPerAcre, l.cells, 0)
		l.each(p, false, func(cell int) {
			if f.Class > class[cell] || f.Class == class[cell] && float32(f.StemsPerAcre) > stems[cell] {
				class[cell], stems[cell] = f.Class, float32(f.StemsPerAcre)
			}
		})
	}
}

// forbid lays what counts on every cell that a shape touches.
func (l *layer) forbid(f Feature, p *plot) {
	switch f.Kind {
	case NoGo, Building, Water, Railway, Pipeline, Tower, Edge:
		l.mark(&l.ground.Closed, p, true)
	case Selective:
		l.mark(&l.ground.Selective, p, true)
	case SoftGround:
		bears := need(&l.ground.BearsKPa, l.cells, unsaid)
		l.each(p, true, func(cell int) {
			if !(bears[cell] <= float32(f.BearsKPa)) {
				bears[cell] = float32(f.BearsKPa)
			}
		})
	case Cover:
		l.greatest(&l.ground.StemM, f.StemM, p)
		l.greatest(&l.ground.TypicalM, f.TypicalM, p)
		l.greatest(&l.ground.CommonStemM, cmp.Or(f.TypicalM, f.StemM), p)
		l.greatest(&l.ground.TallM, f.TallM, p)
	}
}

// greatest keeps the greatest of the values of a cell; 0 says nothing.
func (l *layer) greatest(values *[]float32, v float64, p *plot) {
	if v == 0 {
		return
	}
	out := need(values, l.cells, unsaid)
	l.each(p, true, func(cell int) {
		if !(out[cell] >= float32(v)) {
			out[cell] = float32(v)
		}
	})
}

// keepBack lays setbacks and the distance from lines.
func (l *layer) keepBack(f Feature, p *plot) {
	if s := f.KeptBack(); s != (Setback{}) {
		l.mark(&l.ground.Setback, p, true)
		in := l.ground.Setback
		p.near(s.reachM(l.reliefM), func(cell int, distM float64, at orb.Point) {
			if in[cell] {
				return
			}
			slope := 0.0
			if s.Rule != nil {
				slope = meanSlope(l.grid, at, l.middle(cell), distM)
			}
			in[cell] = s.Holds(distM, slope)
		})
	}
	if f.Kind == OverheadLine {
		beyond := need(&l.ground.BeyondLineM, l.cells, float32(math.Inf(1)))
		clear := f.clearanceM()
		p.near(clear+LineCareM, func(cell int, distM float64, _ orb.Point) {
			beyond[cell] = min(beyond[cell], float32(distM-clear))
		})
	}
}

func (l *layer) middle(cell int) orb.Point {
	return orb.Point{float64(cell%l.grid.Cols) + 0.5, float64(cell/l.grid.Cols) + 0.5}
}

// each visits the cells that a plot touches, or whose middles lie in it. Some
// may be visited twice.
func (l *layer) each(p *plot, touched bool, visit func(cell int)) {
	emit := func(row, c0, c1 int) {
		for c := c0; c < c1; c++ {
			visit(row*l.grid.Cols + c)
		}
	}
	if touched {
		p.touched(emit)
	} else {
		p.inside(emit)
	}
}

func (l *layer) mark(marks *[]bool, p *plot, touched bool) {
	m := need(marks, l.cells, false)
	l.each(p, touched, func(cell int) { m[cell] = true })
}

var unsaid = float32(math.NaN())

// need makes a slice of n cells where there is none yet.
func need[T any](s *[]T, n int, fill T) []T {
	if *s == nil {
		*s = make([]T, n)
		for i := range *s {
			(*s)[i] = fill
		}
	}
	return *s
}
