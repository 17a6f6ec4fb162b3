package mapping

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Classes of cover by the heights that stand within coverReachM of a cell, along both axes: shares of the ground there whose height is
// known (common practice, no source). A class too low costs hours, and no machine is held back or let in by it.
const (
	coverReachM = 10
	coverKnown  = 0.5 // of the ground there, or nothing is proposed

	bareShare     = 0.1 // less than this stands 3 ft: open
	closedLow     = 0.6 // stands 3 ft: brush that closes is medium
	scatteredTall = 0.2 // stands 10 ft: medium
	closedTall    = 0.6 // stands 10 ft: closed saplings and small trees are heavy
	closedTrees   = 0.4 // stands 25 ft: heavy
)

// coverHeightsFt are the heights whose shares are counted.
var coverHeightsFt = [3]float64{3, 10, 25}

// coverCount counts cells: known, and those that stand as high as each of coverHeightsFt.
type coverCount [1 + len(coverHeightsFt)]int32

func (c *coverCount) add(o coverCount, sign int32) {
	for i := range c {
		c[i] += sign * o[i]
	}
}

func countOf(heightM float32) (c coverCount) {
	if heightM != heightM {
		return c
	}
	c[0] = 1
	for i, ft := range coverHeightsFt {
		if float64(heightM) >= ft*zoning.MetresPerFoot {
			c[1+i] = 1
		}
	}
	return c
}

// class is the class that the counts of a window of so many cells propose.
func (c coverCount) class(cells int) site.Class {
	known := float64(c[0])
	if known < coverKnown*float64(cells) || known == 0 {
		return site.NoClass
	}
	low, tall, trees := float64(c[1])/known, float64(c[2])/known, float64(c[3])/known
	switch {
	case trees >= closedTrees || tall >= closedTall:
		return site.Heavy
	case tall >= scatteredTall || low >= closedLow:
		return site.Medium
	case low >= bareShare:
		return site.Light
	}
	return site.Open
}

// proposeCover finds the class of each cell by the heights around it. Sums of columns slide down and along, so that the reach costs
// nothing.
func proposeCover(growthM []float32, e *terrain.Elevation) []site.Class {
	cols, rows := e.Grid.Cols, e.Grid.Rows
	w, h := e.Grid.Frame.MetricAt(float64(e.Grid.Col0)+float64(cols)/2, float64(e.Grid.Row0)+float64(rows)/2).CellM()
	across, down := int(math.Round(coverReachM/w)), int(math.Round(coverReachM/h))
	out := make([]site.Class, cols*rows)
	columns := make([]coverCount, cols)
	addRow := func(row int, sign int32) {
		if row < 0 || row >= rows {
			return
		}
		for col := range columns {
			columns[col].add(countOf(growthM[row*cols+col]), sign)
		}
	}
	for row := range down {
		addRow(row, 1)
	}
	for row := range rows {
		addRow(row+down, 1)
		addRow(row-down-1, -1)
		tall := min(rows, row+down+1) - max(0, row-down)
		var sum coverCount
		for col := range min(across, cols) {
			sum.add(columns[col], 1)
		}
		for col := range cols {
			if col+across < cols {
				sum.add(columns[col+across], 1)
			}
			if col-across-1 >= 0 {
				sum.add(columns[col-across-1], -1)
			}
			wide := min(cols, col+across+1) - max(0, col-across)
			out[row*cols+col] = sum.class(wide * tall)
		}
	}
	return out
}

// ProposedCover is the class of cover that the first surface proposes for a cell, counted row by row; [site.NoClass] where there is none,
// or too little of it is known.
func (g *Ground) ProposedCover(cell int) site.Class {
	if g.surface == nil || cell < 0 || cell >= len(g.surface.class) {
		return site.NoClass
	}
	return g.surface.class[cell]
}

// HasSurface reports whether growth was measured on a first surface.
func (g *Ground) HasSurface() bool { return g.surface != nil }

// CoverWords says what a proposed class of cover rests on.
func (g *Ground) CoverWords() string {
	if g.surface == nil {
		return ""
	}
	date := oldestSurvey(g.surface.sources)
	if date == "" {
		date = "no known date"
	}
	return fmt.Sprintf("proposed from lidar of %s, by height and closure (common practice, no source): the least it can be, and never stem size", date)
}

// tellCover adds up the proposed classes by zone.
func (g *Ground) tellCover(m *zoning.ZoneMap, lots []zoning.LotMap, errs []error, masks []zoning.Mask, watch *beside.Watch) {
	bands := m.Fleet.Bands()
	m.Growth.Cover = map[string][zoning.CoverClasses]float64{}
	eachCell(g.Elevation, lots, errs, watch, func(cell int, acres float64) {
		class := g.surface.class[cell]
		if class == site.NoClass || masks[cell]&zoning.NoGo != 0 {
			return
		}
		key := bands[m.Fleet.Band(masks[cell])].Key
		sum := m.Growth.Cover[key]
		sum[class-site.Open] += acres
		m.Growth.Cover[key] = sum
	})
}
