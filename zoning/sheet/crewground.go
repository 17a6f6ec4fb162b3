package sheet

import (
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/zoning"
)

// besideM is how near to worked ground a danger lies beside it, in metres: 50 ft (common
// practice, no source).
const besideM = 15.24

// crewGround tells which cells of a map are worked, or lie beside such ground.
type crewGround struct {
	cells *zoning.Cells
	sum   []int32 // worked cells above and left of each corner of cells
}

// crewGroundOf marks the cells inside the lots that machines of some bits work; nil where the
// map holds no cells.
func crewGroundOf(zm *zoning.ZoneMap, crew zoning.Mask) *crewGround {
	if zm.Cells == nil {
		return nil
	}
	cols, rows := zm.Cells.Cols, zm.Cells.Rows
	g := &crewGround{zm.Cells, make([]int32, (cols+1)*(rows+1))}
	for _, lot := range zm.Lots {
		if lot.Coverage == nil {
			continue
		}
		lot.Coverage.EachCell(func(col, row int, _ float64) {
			if col >= 0 && row >= 0 && col < cols && row < rows && mayWork(zm.Cells.Masks[row*cols+col], crew) {
				g.sum[(row+1)*(cols+1)+col+1] = 1
			}
		})
	}
	for row := 1; row <= rows; row++ {
		for col := 1; col <= cols; col++ {
			i := row*(cols+1) + col
			g.sum[i] += g.sum[i-1] + g.sum[i-cols-1] - g.sum[i-cols-2]
		}
	}
	return g
}

// mayWork reports whether a machine of a crew is among those of a mask; what is no machine's
// is a value of its own.
func mayWork(mask, crew zoning.Mask) bool { return mask.First() >= 0 && mask&crew != 0 }

// reach is how many columns and rows of cells lie beside a place.
func (g *crewGround) reach(at orb.Point) (cols, rows int) {
	w, h := g.cells.Frame.MetricAt(g.cells.Frame.Cell(at[0], at[1])).CellM()
	return int(math.Ceil(besideM / w)), int(math.Ceil(besideM / h))
}

// near reports whether worked ground lies within so many columns and rows of a place.
func (g *crewGround) near(at orb.Point, reachCols, reachRows int) bool {
	c, r := g.cells.Frame.Cell(at[0], at[1])
	col, row := int(math.Floor(c))-g.cells.Col0, int(math.Floor(r))-g.cells.Row0
	cols, rows := g.cells.Cols, g.cells.Rows
	c0, c1 := max(0, min(cols, col-reachCols)), max(0, min(cols, col+reachCols+1))
	r0, r1 := max(0, min(rows, row-reachRows)), max(0, min(rows, row+reachRows+1))
	n := cols + 1
	return g.sum[r1*n+c1]-g.sum[r0*n+c1]-g.sum[r1*n+c0]+g.sum[r0*n+c0] > 0
}

// place is a spot of a shape that lies on or beside worked ground, about its middle where
// that does; not ok where the shape lies away from it. Of ground its middle and its outline
// are looked at.
func (g *crewGround) place(shape orb.Geometry) (at orb.Point, ok bool) {
	middle := onShape(shape)
	cols, rows := g.reach(middle)
	if g.near(middle, cols, rows) {
		return middle, true
	}
	for _, line := range linesOf(shape) {
		for i, p := range line {
			steps := 1
			from := p
			if i > 0 {
				from = line[i-1]
				a, b := g.cell(from), g.cell(p)
				steps = max(1, int(math.Ceil(math.Max(math.Abs(b[0]-a[0])/float64(cols), math.Abs(b[1]-a[1])/float64(rows)))))
			}
			for k := 1; k <= steps; k++ {
				t := float64(k) / float64(steps)
				spot := orb.Point{from[0] + t*(p[0]-from[0]), from[1] + t*(p[1]-from[1])}
				if g.near(spot, cols, rows) {
					return spot, true
				}
			}
		}
	}
	return at, false
}

// cell is the column and row of a place.
func (g *crewGround) cell(p orb.Point) [2]float64 {
	c, r := g.cells.Frame.Cell(p[0], p[1])
	return [2]float64{c, r}
}

// linesOf are the lines of a shape, and the outlines of its ground.
func linesOf(shape orb.Geometry) (lines []orb.LineString) {
	switch s := shape.(type) {
	case orb.LineString:
		return []orb.LineString{s}
	case orb.MultiLineString:
		return s
	case orb.Polygon:
		for _, ring := range s {
			lines = append(lines, orb.LineString(ring))
		}
	case orb.MultiPolygon:
		for _, p := range s {
			lines = append(lines, linesOf(p)...)
		}
	case orb.Collection:
		for _, part := range s {
			lines = append(lines, linesOf(part)...)
		}
	}
	return lines
}
