package terrain

import (
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/measure"
)

// Georeference says where a window of cells lies in a CRS, as a raster written of
// them declares it.
type Georeference struct {
	CRS  string     // horizontal, as WKT
	Grid [6]float64 // cell coordinates of the window to those of the CRS, as GDAL writes it
}

// Moved is the place of a window that begins at another cell.
func (g Georeference) Moved(col, row float64) Georeference {
	a := &g.Grid
	a[0], a[3] = a[0]+col*a[1]+row*a[2], a[3]+col*a[4]+row*a[5]
	return g
}

// Seam is where the heights of two sources lie side by side.
type Seam struct {
	A, B      int     // the two, in [Elevation].Sources
	Cells     int     // pairs of cells across it that could be compared
	MedianM   float64 // step between the two: the middle one
	GreatestM float64 // and the greatest

	Tells bool // people should hear of it
	Steps bool // some cells are marked across it
}

// Words tells people of a seam between two of an elevation's sources, in their units.
func (s Seam) Words(u measure.Units, sources []Source) string {
	if !s.Steps {
		return fmt.Sprintf("%s and %s meet here, and their heights agree to %s", sources[s.A].Path, sources[s.B].Path, u.Height(s.GreatestM))
	}
	return fmt.Sprintf("%s and %s meet here, and their heights differ by %s in the middle of the cells compared, %s at most: slope across that line is in part the step between two surveys",
		sources[s.A].Path, sources[s.B].Path, u.Height(s.MedianM), u.Height(s.GreatestM))
}

// Elevation is the ground of one place, read from one raster or joined from
// several. It is plain values: package raster fills it from files, and whoever has heights
// of other origin fills it himself, with a Grid of [NewGridOn], one [Source] that says what
// the heights are and what was assumed of them, and the Window that the Grid covers. The
// rest may stay empty: one source has no seams, and without a Georeference no raster can be
// written of it.
type Elevation struct {
	Grid     *Grid
	Sources  []Source // those that gave heights, finest first, else in the order given
	Window   Window   // cells around the place, beyond the rasters too
	Warnings []string

	Georeference Georeference // of Grid

	// From lies beside Grid.Z and tells which of Sources each height came from,
	// [NoSource] where there is none. It is nil where there is one source.
	From  []uint16
	Seams []Seam // where sources meet
	// Stepped lies beside Grid.Z and marks cells whose 3 × 3 cells hold heights
	// of sources that do not agree there: their slope is in part the step between
	// two surveys. It is nil where there are none.
	Stepped []bool
}

// NoSource marks a cell without a height in [Elevation].From.
const NoSource = math.MaxUint16
