package raster

import (
	"cmp"
	"errors"
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
)

// Header is what a raster that is written says beside its cells.
type Header struct {
	Place      terrain.Georeference
	Cols, Rows int
	Words      string   // what its values are, with their unit
	Remarks    []string // what goes with it into every file
}

// check returns why nothing of the header's size and place can be written.
func (h Header) check() error {
	if h.Cols < 1 || h.Rows < 1 || h.Cols > math.MaxInt32/h.Rows {
		return fmt.Errorf("a raster of %d columns × %d rows; it takes 1 to %d cells", h.Cols, h.Rows, math.MaxInt32)
	}
	for _, k := range h.Place.Grid {
		if math.IsNaN(k) || math.IsInf(k, 0) {
			return fmt.Errorf("a raster whose place is %v lies nowhere", h.Place.Grid)
		}
	}
	return nil
}

func (h Header) checkFilled(cells int) error {
	if cells != h.Cols*h.Rows {
		return fmt.Errorf("%d cells do not fill %d columns × %d rows", cells, h.Cols, h.Rows)
	}
	return nil
}

func checkClasses(classes []Class) error {
	if len(classes) > NoClass {
		return fmt.Errorf("%d classes; a byte holds %d beside no data", len(classes), NoClass)
	}
	return nil
}

// Class is a value that cells may have in a raster of classes.
type Class struct {
	Name   string
	Colour color.RGBA
}

// NoClass is the value of a cell of no class, which is nodata.
const NoClass = 255

// WriteClasses writes a cloud-optimised GeoTIFF of bytes, row-major from the
// north-west, each a place in classes or [NoClass]. Colours go into its colour
// table, names into its metadata, as CLASS_0 and so on. The file is made in
// memory, which takes two bytes a cell for a while; w is given a whole file or
// nothing. The same cells give the same bytes.
func WriteClasses(w io.Writer, h Header, cells []uint8, classes []Class) error {
	if err := checkClasses(classes); err != nil {
		return err
	}
	for i, c := range cells {
		if int(c) >= len(classes) && c != NoClass {
			return fmt.Errorf("cell %d is of class %d; there are %d", i, c, len(classes))
		}
	}
	return h.write(w, godal.Byte, len(cells), cells, NoClass, classes)
}

// dress gives a band of classes their colours and names.
func dress(b godal.Band, classes []Class) error {
	table := godal.ColorTable{PaletteInterp: godal.RGBPalette, Entries: make([][4]int16, NoClass+1)}
	for i := range table.Entries {
		table.Entries[i] = [4]int16{255, 255, 255, 255}
	}
	for i, c := range classes {
		table.Entries[i] = [4]int16{int16(c.Colour.R), int16(c.Colour.G), int16(c.Colour.B), 255}
	}
	errs := []error{b.SetColorTable(table, godal.ErrLogger(quiet))}
	for i, c := range classes {
		errs = append(errs, b.SetMetadata("CLASS_"+strconv.Itoa(i), c.Name, godal.ErrLogger(quiet)))
	}
	return errors.Join(errs...)
}

// WriteValues writes a cloud-optimised GeoTIFF of float32, row-major from the
// north-west; NaN is nodata. Else it is as [WriteClasses] is, with eight bytes a
// cell.
func WriteValues(w io.Writer, h Header, cells []float32) error {
	return h.write(w, godal.Float32, len(cells), cells, math.NaN(), nil)
}

// cogOptions make a file that is read piece by piece. Overviews take the value of
// one cell: a mean of slopes would show ground gentler than it is.
var cogOptions = []string{"-of", "COG", "-co", "COMPRESS=DEFLATE", "-co", "PREDICTOR=YES", "-co", "BLOCKSIZE=256",
	"-co", "OVERVIEWS=AUTO", "-co", "OVERVIEW_RESAMPLING=NEAREST", "-co", "BIGTIFF=IF_SAFER"}

var registerCOG = sync.OnceValue(func() error {
	if err := registerFew(); err != nil {
		return err
	}
	return godal.RegisterRaster("COG")
})

// made counts the files made in memory, each under a name of its own.
var made atomic.Int64

// write copies a raster in memory into a GeoTIFF in memory, for a cloud-optimised
// one is made by copying only, and that to w.
func (h Header) write(w io.Writer, t godal.DataType, n int, cells any, nodata float64, classes []Class) error {
	if err := cmp.Or(h.check(), h.checkFilled(n)); err != nil {
		return err
	}
	if err := registerCOG(); err != nil {
		return fmt.Errorf("registering GDAL's GeoTIFF writer: %w", err)
	}
	name := fmt.Sprintf("/vsimem/acreband-%d.tif", made.Add(1))
	defer func() { _ = godal.VSIUnlink(name, godal.ErrLogger(quiet)) }() // there is none where writing failed
	if err := h.make(name, t, cells, nodata, classes); err != nil {
		return fmt.Errorf("making a GeoTIFF: %w", err)
	}
	return copyFrom(w, name)
}

// copyFrom copies a file that GDAL made in memory.
func copyFrom(w io.Writer, name string) error {
	f, err := godal.VSIOpen(name, godal.ErrLogger(quiet))
	if err != nil {
		return err
	}
	defer f.Close()
	_, err = io.Copy(w, f)
	return err
}

func (h Header) make(name string, t godal.DataType, cells any, nodata float64, classes []Class) (err error) {
	silently := godal.ErrLogger(quiet)
	ds, err := godal.Create(godal.Memory, "", 1, t, h.Cols, h.Rows, silently)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ds.Close(silently)) }()
	if err := errors.Join(h.describe(ds, nodata, classes), ds.Bands()[0].Write(0, 0, cells, h.Cols, h.Rows, silently)); err != nil {
		return err
	}
	out, err := ds.Translate(name, cogOptions, silently)
	if err != nil {
		return err
	}
	return out.Close(silently)
}

// describe writes what a raster says beside its cells; classes are nil where it has none.
func (h Header) describe(ds *godal.Dataset, nodata float64, classes []Class) error {
	silently := godal.ErrLogger(quiet)
	band := ds.Bands()[0]
	err := errors.Join(
		ds.SetGeoTransform(h.Place.Grid, silently),
		ds.SetProjection(h.Place.CRS, silently),
		ds.SetMetadata("REMARKS", strings.Join(h.Remarks, "\n"), silently),
		band.SetDescription(h.Words, silently),
		band.SetNoData(nodata, silently),
	)
	if classes != nil {
		err = errors.Join(err, dress(band, classes))
	}
	return err
}
