package quality

import (
	"context"
	"fmt"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// Patches are stretches of dead-flat, or all but flat, ground taken for water.
type Patches struct {
	List   []Patch // in reading order of their first cells
	Cells  int
	AreaM2 float64 // on the ground

	cols, rows int
	runs       []flatRun // root is the index in List
}

// Patch is one connected stretch of cells of exactly one height, or calm.
type Patch struct {
	Col, Row int // its first cell, counted from the grid's
	Cells    int
	AreaM2   float64
	HeightM  float64 // of a calm one the mean

	// LowerRim is the share of the cells around it that lie lower. Water lies
	// below its banks; a terrace does not.
	LowerRim float64

	// Doubtful says that it may as well be ground: heights come in stairs, or
	// much of what is around lies lower.
	Doubtful bool

	// Void says that it is part of a plateau that looks like a void: missing
	// elevation or water under cliffs, and ground in neither case.
	Void bool

	// Calm says that its heights are not exactly one: they lie within millimeters of a
	// level that tilts no more than water on a raster does.
	Calm bool
}

const (
	// The least water: what is smaller is left to the eye. Lidar heights on
	// ground differ from cell to cell in the millimetres, so 20 equal ones are
	// no chance. 0.05 acres; common practice, no source; tried on the made data of the test.
	waterM2, waterCells = 200, 20

	// On stairs every gentle slope is made of flat treads: water must be some
	// ten acres, and lie below nearly all its rim. Chosen so that of the public
	// rasters in whole metres that were tried only lakes are found.
	stairWaterM2, stairWaterCells = 40000, 200
	stairLowerRim                 = 0.1

	// A dam, an outlet or a weir makes part of a rim lower, hardly more than
	// this. Common practice, no source.
	doubtLowerRim = 0.25
)

// Water finds flattened water: patches of four-neighbours of exactly equal
// height of at least 200 m² (0.05 acres) and 20 cells. Bare-earth rasters flatten standing
// water to one height, which reads as perfect ground. So does water with 1 mm of noise, or a tilt
// of 0.05%: patches of that size, calm to millimeters, below rougher ground on three quarters of
// their shore; not where heights come in stairs of any quantum, or the grid was resampled.
//
// Where heights come in stairs ([FindStairs], of more than 5 cm), a patch counts
// only from 40 000 m² and 200 cells on, with at most 10 % of its rim lower, and is
// always doubtful. Where the grid was resampled from a coarser raster
// (its blocks, facets or smoothness show it), cells are counted as that one's. Patches of a plateau that
// looks like a void are in the list whatever their size and rim.
//
// Not caught: rivers flattened with more fall than that, water that was never
// flattened and shows noise of centimeters, ponds under the least size, calm water that fills
// the grid. Whole metres that were resampled since,
// by less than can be told, leave flats that look like it. A raster
// that is dead flat by construction is one patch.
func Water(g *terrain.Grid) (*Patches, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	watch := beside.NewWatch(context.Background())
	l := &Look{grid: g, plateaus: plateaus(g, watch)}
	l.stairs, l.stepped = findStairs(g)
	l.findWater(watch)
	if len(l.water.List) == 0 { // as mostly: that the grid was drawn from a coarser one would only take some away
		return l.water, nil
	}
	if l.coarser, l.resampled = findCoarser(g, watch); l.resampled {
		l.findWater(watch)
	}
	return l.water, nil
}

// waterDoubts tells of water, what is sure apart from what may be ground. What may be a void
// is told as a plateau.
func waterDoubts(l *Look, _ *beside.Watch) []Doubt {
	var sure, doubtful, calm, sureCells, doubtfulCells, calmCells int
	var sureM2, doubtfulM2, calmM2 float64
	for _, p := range l.water.List {
		switch {
		case p.Void:
		case p.Calm:
			calm, calmCells, calmM2 = calm+1, calmCells+p.Cells, calmM2+p.AreaM2
		case p.Doubtful:
			doubtful, doubtfulCells, doubtfulM2 = doubtful+1, doubtfulCells+p.Cells, doubtfulM2+p.AreaM2
		default:
			sure, sureCells, sureM2 = sure+1, sureCells+p.Cells, sureM2+p.AreaM2
		}
	}
	var out []Doubt
	if sure > 0 {
		out = append(out, doubt(DoubtWater, sureCells, "%s dead flat in %s: water that the raster flattened, though it reads as perfect ground", l.units.AreaText(sureM2/terrain.SquareMetresPerAcre, 1), places(sure)))
	}
	if calm > 0 {
		out = append(out, doubt(DoubtWater, calmCells, "%.2g %s level to millimeters in %s, below rougher ground: water, though it reads as perfect ground", l.units.Area(calmM2/terrain.SquareMetresPerAcre), l.units.Areas(), places(calm)))
	}
	if doubtful > 0 {
		out = append(out, doubt(DoubtWater, doubtfulCells, "%s dead flat in %s that may be water or may be ground (heights come in steps, or fall away around)", l.units.AreaText(doubtfulM2/terrain.SquareMetresPerAcre, 1), places(doubtful)))
	}
	return out
}

func places(n int) string {
	if n == 1 {
		return "one place"
	}
	return fmt.Sprintf("%d places", n)
}

// coarse reports whether the quantum is so large that treads of gentle ground are
// many cells wide.
func (s Stairs) coarse() bool { return s.QuantumM > 0.05 }

// waterOf finds water where it is known whether heights come in stairs and from
// what coarser raster.
func waterOf(g *terrain.Grid, plateaus []plateau, stairs bool, coarser resampling, watch *beside.Watch) *Patches {
	p := &Patches{cols: g.Cols, rows: g.Rows}
	flats := findFlats(g, watch)
	leastM2, leastCells, mostLower := float64(waterM2), int32(waterCells), 1.0
	if stairs {
		leastM2, leastCells, mostLower = stairWaterM2, stairWaterCells, stairLowerRim
	}
	w, h := g.MiddleCellM()
	leastCells = int32(float64(leastCells) * max(1, coarser.CellM[0]*coarser.CellM[1]/(w*h)))
	cells := flats.cells()
	patchOf := map[int32]int{}
	var runs []flatRun
	var rims []rim
	for i, run := range flats {
		watch.Did(int(run.c1 - run.c0))
		root := flats.find(int32(i))
		h := g.At(int(run.c0), int(run.row))
		isVoid := void(plateaus, h)
		if cells[root] < leastCells && !isVoid {
			continue
		}
		k, known := patchOf[root]
		if !known {
			k = len(p.List)
			patchOf[root] = k
			p.List = append(p.List, Patch{Col: int(run.c0), Row: int(run.row), HeightM: h, Cells: int(cells[root]), Void: isVoid})
			rims = append(rims, rim{})
		}
		mid := float64(run.c0+run.c1) / 2
		m := g.Frame.MetricAt(float64(g.Col0)+mid, float64(g.Row0)+float64(run.row)+0.5)
		p.List[k].AreaM2 += float64(run.c1-run.c0) * m.CellAreaM2()
		rims[k].add(g, run)
		run.root = int32(k)
		runs = append(runs, run)
	}
	p.keep(runs, func(k int) bool {
		patch := &p.List[k]
		patch.LowerRim = rims[k].lower()
		if patch.Void {
			return true
		}
		patch.Doubtful = stairs || patch.LowerRim > doubtLowerRim
		return patch.AreaM2 >= leastM2 && patch.LowerRim <= mostLower
	})
	return p
}

// keep drops the patches that do not hold, and their runs.
func (p *Patches) keep(runs []flatRun, holds func(k int) bool) {
	all, at := p.List, make([]int, len(p.List))
	var list []Patch
	for k := range all {
		at[k] = -1
		if holds(k) {
			at[k] = len(list)
			list = append(list, all[k])
			p.Cells += all[k].Cells
			p.AreaM2 += all[k].AreaM2
		}
	}
	for _, run := range runs {
		if k := at[run.root]; k >= 0 {
			run.root = int32(k)
			p.runs = append(p.runs, run)
		}
	}
	p.List = list
}

// On reports whether the patches are those of a window of the grid's size; none are.
func (p *Patches) On(g *terrain.Grid) bool { return p == nil || p.cols == g.Cols && p.rows == g.Rows }

// Mask marks the cells of the patches, row-major from the grid's first cell,
// Cols × Rows of them; without the doubtful patches, those alone that are sure.
// Of nil it is nil.
func (p *Patches) Mask(doubtful bool) []bool {
	if p == nil {
		return nil
	}
	mask := make([]bool, p.cols*p.rows)
	for _, run := range p.runs {
		if p.List[run.root].Doubtful && !doubtful {
			continue
		}
		line := mask[int(run.row)*p.cols:][:p.cols]
		for c := run.c0; c < run.c1; c++ {
			line[c] = true
		}
	}
	return mask
}

// Runs tells, in reading order, the stretches of rows that the patches are made
// of: cells c0 ≤ col < c1 of a row, counted from the grid's.
func (p *Patches) Runs(tell func(patch Patch, row, c0, c1 int)) {
	if p == nil {
		return
	}
	for _, run := range p.runs {
		tell(p.List[run.root], int(run.row), int(run.c0), int(run.c1))
	}
}

// rim counts the neighbours of a patch.
type rim struct{ n, low int }

func (m *rim) add(g *terrain.Grid, run flatRun) {
	line := g.Line(int(run.row))
	z := line[run.c0]
	see := func(n float32) {
		switch {
		case n < z:
			m.n, m.low = m.n+1, m.low+1
		case n > z:
			m.n++
		}
	}
	if run.c0 > 0 {
		see(line[run.c0-1])
	}
	if int(run.c1) < g.Cols {
		see(line[run.c1])
	}
	for _, r := range [2]int{int(run.row) - 1, int(run.row) + 1} {
		if r >= 0 && r < g.Rows {
			for _, n := range g.Line(r)[run.c0:run.c1] {
				see(n)
			}
		}
	}
}

func (m *rim) lower() float64 { return float64(m.low) / float64(max(m.n, 1)) }
