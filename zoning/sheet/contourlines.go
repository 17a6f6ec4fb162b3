package sheet

import (
	"math"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// contourLine is a piece of an index contour within the frame.
type contourLine struct {
	label  string
	points []drawing.Point
}

// Contours are drawn no closer than they can be read, and from cells that are
// averaged until they are as wide as so many points.
const (
	mostContours = 28
	contourCell  = 1.5
	indexWidth   = 0.7
	thinWidth    = 0.35
)

var contourPaint = drawing.Paint{Colour: palette.Ink, Opacity: 0.62}

// heightErrorM is the error of the heights that contours go by. What is measured of a raster
// bounds its slopes; how well its heights lie on the whole is assumed still.
func heightErrorM(m *zoning.ZoneMap) float64 {
	if e := m.Error; !e.Measured || len(m.Sources) == 0 {
		return e.SigmaM
	}
	cell := m.Sources[0].CellM
	return max(m.Error.SigmaM, slope.AssumedNoise(max(cell[0], cell[1])).SigmaM)
}

// chooseContours finds the interval that the heights bear out, in the units of the map.
func (m *groundMap) chooseContours() (err error) {
	low, high := m.page.Grid.HeightsM()
	if !(low < high) {
		return nil
	}
	if m.interval, err = relief.ChooseContourInterval(low, high, heightErrorM(m.page.Map), mostContours, m.page.Map.Units.ShortLength()); err != nil {
		return err
	}
	m.explain(keyEntry{words: "Contour", more: "every " + limitNumber(m.interval.Step) + " " + m.interval.Unit,
		swatch: stroked(swatchLine(), drawing.Path{Stroke: contourPaint, Width: indexWidth})})
	return nil
}

func (m *groundMap) contour() error {
	if m.interval.Step == 0 {
		return nil // void, or as flat as water
	}
	grid, every := averaged(m.page.Grid, int(math.Ceil(contourCell*reliefPx*m.v.cellsPerPixel())))
	low, high := grid.HeightsM()
	levels, err := m.interval.Levels(low, high)
	if err != nil {
		return err
	}
	heights := make([]float64, len(levels))
	for i, l := range levels {
		heights[i] = l.HeightM
	}
	var thin, index [][]drawing.Point
	lines, err := relief.Contours(grid, heights)
	if err != nil {
		return err
	}
	for _, c := range lines {
		for _, piece := range drawing.ClipLine(m.onPage(c.Line, every), m.frame) {
			if levels[c.Level].Index {
				index = append(index, piece)
				m.contours = append(m.contours, contourLine{levels[c.Level].Label, piece})
			} else {
				thin = append(thin, piece)
			}
		}
	}
	m.base = append(m.base, drawing.Path{Lines: thin, Stroke: contourPaint, Width: thinWidth},
		drawing.Path{Lines: index, Stroke: contourPaint, Width: indexWidth})
	return nil
}

// onPage brings a line in cells of an averaged grid onto the map, without points
// nearer together than can be seen.
func (m *groundMap) onPage(line [][2]float64, every float64) []drawing.Point {
	const apart = 0.7
	g := m.page.Grid
	var out []drawing.Point
	for i, c := range line {
		lon, lat := g.Frame.LonLat(float64(g.Col0)+c[0]*every, float64(g.Row0)+c[1]*every)
		p := m.at([2]float64{lon, lat})
		if n := len(out); n == 0 || i == len(line)-1 || math.Hypot(p.X-out[n-1].X, p.Y-out[n-1].Y) >= apart {
			out = append(out, p)
		}
	}
	return out
}

// averaged is a grid of the means of blocks of every × every cells, counted from
// its own corner. A block without heights is a void.
func averaged(g *terrain.Grid, every int) (*terrain.Grid, float64) {
	every = max(every, 1)
	cols, rows := g.Cols/every, g.Rows/every
	if cols < 2 || rows < 2 {
		every, cols, rows = 1, g.Cols, g.Rows
	}
	out := &terrain.Grid{Z: make([]float32, cols*rows), Z0: g.Z0, Cols: cols, Rows: rows, Stride: cols, Frame: g.Frame}
	for r := range rows {
		for c := range cols {
			sum, n := 0.0, 0
			for y := r * every; y < (r+1)*every; y++ {
				for _, z := range g.Z[y*g.Stride+c*every:][:every] {
					if z == z {
						sum, n = sum+float64(z), n+1
					}
				}
			}
			out.Z[r*cols+c] = float32(math.NaN())
			if n > 0 {
				out.Z[r*cols+c] = float32(sum / float64(n))
			}
		}
	}
	return out, float64(every)
}
