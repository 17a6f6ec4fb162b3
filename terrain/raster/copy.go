package raster

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
)

// CopyOptions bound what a copy is made of.
type CopyOptions struct {
	Options

	// Drivers of GDAL that may open the file, such as "GTiff"; there must be some. No other
	// looks at it.
	Drivers []string

	MostCells int // of the whole raster, of all its bands together; 0 is no bound
}

// Copy writes what [Open] reads of a file as a plain tiled GeoTIFF of the same values, so that
// what reads the copy meets nothing of a file from a stranger. A CRS that is given stands in
// the copy; a unit that is given does not, and is to be given again. It returns what the file
// says of itself. It refuses what Open refuses, and a raster of too many cells with
// [ErrTooLarge], before it reads any.
func Copy(ctx context.Context, path, to string, o CopyOptions) (terrain.Source, error) {
	if err := registerFew(); err != nil {
		return terrain.Source{}, fmt.Errorf("registering GDAL's raster drivers: %w", err)
	}
	if err := CheckUnit(o.Unit); err != nil {
		return terrain.Source{}, err
	}
	for _, d := range o.Drivers {
		if err := godal.RegisterRaster(godal.DriverName(d)); err != nil {
			return terrain.Source{}, fmt.Errorf("registering GDAL's driver %s: %w", d, err)
		}
	}
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles(), godal.Drivers(o.Drivers...), godal.ErrLogger(quiet), godal.ConfigOption(noCurl))
	if err != nil {
		return terrain.Source{}, unopened(path, err)
	}
	r := &Raster{options: o.Options, ds: ds, Source: terrain.Source{Path: path}}
	defer r.Close()
	st := ds.Structure()
	if cells := float64(st.SizeX) * float64(st.SizeY) * float64(max(1, st.NBands)); o.MostCells > 0 && cells > float64(o.MostCells) {
		return terrain.Source{}, fmt.Errorf("%s: %w: it has %d × %d cells in %d bands; at most %d are taken: cut out the ground around the lots", path, ErrTooLarge, st.SizeX, st.SizeY, st.NBands, o.MostCells)
	}
	if err := r.read(o.Options); err != nil {
		return terrain.Source{}, fmt.Errorf("%s: %w", path, err)
	}
	if err := r.checkValues(ctx); err != nil {
		return terrain.Source{}, fmt.Errorf("%s: %w", path, err)
	}
	switches := []string{"-of", "GTiff", "-co", "TILED=YES", "-co", "COMPRESS=DEFLATE", "-co", "ZLEVEL=1", "-co", "BIGTIFF=IF_SAFER"}
	predictor := "2" // of whole numbers
	if t := r.band.Structure().DataType; t == godal.Float32 || t == godal.Float64 {
		predictor = "3"
	}
	switches = append(switches, "-co", "PREDICTOR="+predictor)
	if o.CRS != "" {
		switches = append(switches, "-a_srs", o.CRS)
	}
	copied, err := ds.Translate(to, switches, godal.ErrLogger(quiet), godal.ConfigOption("GDAL_TIFF_INTERNAL_MASK=YES", noCurl))
	if err == nil {
		err = copied.Close(godal.ErrLogger(quiet))
	}
	if err != nil {
		first, _, _ := strings.Cut(err.Error(), "\n")
		return terrain.Source{}, fmt.Errorf("%s: it cannot be read whole, as a file that is damaged or was cut off (%s): get it again", path, first)
	}
	return r.Source, ctx.Err()
}

// SaysSurface reports whether a file's name says that it holds a first surface, and SaysGround
// whether it says that it holds the ground; a name may say both, and most say neither.
func SaysSurface(path string) bool { return says(path, surfaceWords) }

// SaysGround is told of by [SaysSurface].
func SaysGround(path string) bool { return says(path, groundWords) }

var (
	surfaceWords = []string{"dsm", "surface", "first", "canopy", "top"}
	groundWords  = []string{"dem", "dtm", "bare", "earth", "ground", "elevation", "elev", "terrain", "heights"}
)

func says(path string, words []string) bool {
	base := filepath.Base(path)
	return slices.ContainsFunc(wordsOf(strings.TrimSuffix(base, filepath.Ext(base))), func(w string) bool { return slices.Contains(words, w) })
}
