package gdal

import (
	"errors"
	"io"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/write"
)

// Bands writes the bands of a map's cells as a cloud-optimised GeoTIFF, in the
// CRS and the cells of the elevation: [write.BandCells], with the bands' colours
// and names. [write.BandNames] writes what lies beside it.
func Bands(w io.Writer, g *mapping.Ground, zm *zoning.ZoneMap, cells *zoning.Cells) error {
	cellBands, err := write.BandCells(zm, cells)
	if err != nil {
		return err
	}
	h, err := header(g, zm, "band: the first machine that may work the ground")
	if err != nil {
		return err
	}
	bands := zm.Fleet.Bands()
	classes := make([]raster.Class, len(bands))
	for i, b := range bands {
		classes[i].Name = b.Name
		classes[i].Colour, _ = palette.Flat(i, len(zm.Fleet))
	}
	return raster.WriteClasses(w, h, cellBands, classes)
}

// Slope writes the slope of a map's cells in percent as a cloud-optimised
// GeoTIFF, as [Bands] does: [write.SlopeCells].
func Slope(w io.Writer, g *mapping.Ground, zm *zoning.ZoneMap, field *slope.Field) error {
	slopes, err := write.SlopeCells(zm, field)
	if err != nil {
		return err
	}
	h, err := header(g, zm, "slope in percent; "+zm.Scale)
	if err != nil {
		return err
	}
	return raster.WriteValues(w, h, slopes)
}

func header(g *mapping.Ground, zm *zoning.ZoneMap, words string) (raster.Header, error) {
	if g == nil || g.Elevation == nil {
		return raster.Header{}, errors.New("there is no elevation on whose cells the raster lies; give the ground that was mapped")
	}
	grid := g.Elevation.Grid
	if err := grid.Check(); err != nil {
		return raster.Header{}, err
	}
	return raster.Header{Place: g.Elevation.Georeference, Cols: grid.Cols, Rows: grid.Rows, Words: words, Remarks: write.Remarks(zm)}, nil
}
