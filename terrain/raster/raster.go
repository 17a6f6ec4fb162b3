package raster

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"path/filepath"
	"strconv"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/fetch"
	"github.com/acreband/acreband/terrain/find"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/terrain/setting"
)

// Options say what a raster does not, or overrule what it says.
type Options struct {
	Unit string // vertical unit: "m", "ft" or "us-ft"; "" takes the raster's own
	CRS  string // such as "EPSG:26916"; "" takes the raster's own

	// MostCells bounds the window of one reading; 0 is 2^29.
	MostCells int

	// Flags is how the keys of the settings begin that give these (see package setting); "" is
	// "elevation".
	Flags string

	// Surface says that a first surface is meant: trees and roofs are as rough as what
	// else is taken for no heights.
	Surface bool

	// NoData is a stored value that stands for no height, beside what rasters declare; nil is
	// none.
	NoData *float64

	// AllowRemote lets files name addresses to be asked, as a VRT of remote rasters
	// does. An address or a service that is itself given needs no leave.
	AllowRemote bool

	// Fetch asks servers for what lies at addresses; nil asks as it may, and keeps nothing.
	Fetch *fetch.Client

	// Units are what people are told steps between rasters in.
	Units measure.Units

	// Bare names files without their folders in the elevation that is read and what is said of
	// it: whoever sees those is told nothing of this machine.
	Bare bool

	found bool // at an address that no user named

	Named []find.Source // services known by name to a [Catalogue]; nil knows [find.BuiltIn]
}

// called is what a file is called in what is said of it.
func (o Options) called(path string) string {
	if o.Bare {
		return filepath.Base(path)
	}
	return path
}

// flag names one of the flags that give the options.
func (o Options) flag(name string) string {
	return setting.Name(cmp.Or(o.Flags, "elevation") + "-" + name)
}

// Raster is an open elevation raster. It is seen with its rows running south:
// one stored the other way up is turned over. It belongs to one goroutine.
type Raster struct {
	Source terrain.Source

	tier      int // as Entry.Rank
	options   Options
	ds        *godal.Dataset
	band      godal.Band
	place     *place
	grid      [6]float64     // cell coordinates to raster coordinates, as GDAL writes it
	flip      bool           // stored rows run north
	unitText  string         // of the band
	nodata    []float64      // as stored: declared, and given
	mask      *godal.Band    // 0 in it marks a void; nil where there is none
	step      int            // of its frames' lattice
	coarse    *terrain.Frame // over the whole raster, to invert its CRS
	scratch   []float64      // values as they are read
	notGround int            // cells read whose height no ground has
	cached    *cached        // how it is read through a cache; nil reads the file
	asked     request        // of a server, the one that is not answered yet
}

// ErrNoCRS says that a raster's coordinate system must be given.
var ErrNoCRS = errors.New("it declares no CRS")

// ErrUnit says that the unit of heights must be given.
var ErrUnit = errors.New("the unit of heights is not declared")

// Open opens a raster. The path may name a file, or one inside a zip
// (tiles.zip/ridge.tif); see [Expand] for zips that hold several. Once the context is done
// it returns the context's error, without waiting for a server.
func Open(ctx context.Context, path string, o Options) (*Raster, error) {
	r, err := open(ctx, path, o)
	if err != nil {
		return nil, err
	}
	if err := r.checkValues(ctx); err != nil {
		r.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return r, nil
}

// open is [Open] for a raster whose values were looked at before.
func open(ctx context.Context, path string, o Options) (*Raster, error) {
	if err := CheckUnit(o.Unit); err != nil {
		return nil, err
	}
	if err := o.checkAddresses(path); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	ds, err := openDataset(ctx, path, o)
	if err != nil {
		return nil, unopened(path, err)
	}
	r := &Raster{options: o, ds: ds, Source: terrain.Source{Path: path}}
	if err := r.read(o); err != nil {
		r.Close()
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	r.Source.Found.Fetched = o.fetched(ctx, path)
	return r, nil
}

// Close lets go of the file, one on a server once what was asked of it last is answered.
func (r *Raster) Close() {
	if r.place != nil {
		r.place.close()
	}
	r.asked.afterwards(func() {
		_ = r.ds.Close(godal.ErrLogger(quiet)) // opened for reading: nothing to lose
	})
}

func (r *Raster) read(o Options) error {
	if err := r.readBand(); err != nil {
		return err
	}
	if err := r.readPlace(o); err != nil {
		return err
	}
	if err := r.readUnit(o); err != nil {
		return err
	}
	return r.orient()
}

func (r *Raster) readBand() error {
	st := r.ds.Structure()
	r.Source.Cols, r.Source.Rows = st.SizeX, st.SizeY
	bands := r.ds.Bands()
	if len(bands) == 0 {
		return errors.New("it holds no raster band; if it holds several rasters, name one of them")
	}
	r.band = bands[0]
	b := r.band.Structure()
	r.Source.ValueType = b.DataType.String()
	var err error
	if r.unitText, err = bandUnit(r.options, r.Source.Path, r.ds); err != nil {
		return fmt.Errorf("reading the band's unit: %w", err)
	}
	switch ci := r.band.ColorInterp(); {
	case ci == godal.CIRed || ci == godal.CIPalette:
		return fmt.Errorf("it is a picture (%d bands, the first %s), not elevation", len(bands), ci.Name())
	case b.DataType >= godal.CInt16 && b.DataType <= godal.CFloat64:
		return fmt.Errorf("its values are complex numbers (%s), not elevation", b.DataType)
	}
	if len(bands) > 1 {
		r.Source.Warnings = append(r.Source.Warnings, fmt.Sprintf("it has %d bands; the first is taken for elevation", len(bands)))
	}
	r.Source.Scale, r.Source.Offset = b.Scale, b.Offset
	if b.Scale == 0 {
		r.Source.Scale = 1
	}
	if nd, ok := r.band.NoData(); ok {
		r.takeNoData(nd, b.DataType)
		r.Source.NoData = strconv.FormatFloat(r.nodata[0], 'g', -1, 64)
	}
	if given := r.options.NoData; given != nil {
		r.takeNoData(*given, b.DataType)
		if r.Source.NoData != "" {
			r.Source.NoData += ", "
		}
		r.Source.NoData += strconv.FormatFloat(*given, 'g', -1, 64) + " (" + setting.Name("nodata") + ")"
	}
	r.mask = maskOf(bands)
	return r.checkHeights()
}

// takeNoData takes a value as it is stored.
func (r *Raster) takeNoData(v float64, of godal.DataType) {
	if of == godal.Float32 {
		v = float64(float32(v))
	}
	r.nodata = append(r.nodata, v)
}

func (r *Raster) readPlace(o Options) error {
	var err error
	if r.grid, err = r.ds.GeoTransform(godal.ErrLogger(quiet)); err != nil {
		if len(r.ds.GCPs()) > 0 {
			return errors.New("it is placed by control points only; warp it to a CRS first")
		}
		return errors.New("it has no position on the ground (no geotransform, world file or corner)")
	}
	definition, from := o.CRS, o.flag("crs")
	if definition == "" {
		definition, from = r.ds.Projection(), "declared"
	}
	if definition == "" {
		return fmt.Errorf("%w; name it with %[2]s, such as %[2]s EPSG:26916", ErrNoCRS, o.flag("crs"))
	}
	if r.place, err = newPlace(definition); err != nil {
		if o.CRS != "" {
			return fmt.Errorf("%s: %w", o.flag("crs"), err)
		}
		return err
	}
	r.Source.CRS, r.Source.CRSFrom = r.place.name, from
	r.Source.Datum, r.Source.Heights = r.place.datum, r.place.heights
	r.Source.Surveyed = surveyed(r.ds.Metadatas())
	if r.place.doubt != "" {
		r.Source.Warnings = append(r.Source.Warnings, r.place.doubt)
	}
	return nil
}

// readUnit settles the vertical unit: given, or the band's, or the vertical
// CRS's. Metres are assumed only where the grid itself is in degrees or metres.
func (r *Raster) readUnit(o Options) error {
	s := &r.Source
	text := r.unitText
	declared, known := unitNamed(text)
	if text != "" && !known {
		s.Warnings = append(s.Warnings, fmt.Sprintf("its band declares the unit %q, which is none of m, ft, us-ft", text))
	}
	vertical, badUnit := r.place.vertical, r.place.badUnit
	if o.CRS != "" && vertical == "" && badUnit == "" {
		if own, err := newPlace(r.ds.Projection()); err == nil {
			vertical, badUnit = own.vertical, own.badUnit
			own.close()
		}
	}
	switch {
	case o.Unit != "":
		s.Unit, s.UnitFrom = o.Unit, o.flag("unit")
		for _, d := range []string{declared, vertical} {
			if d != "" && d != o.Unit {
				s.Warnings = append(s.Warnings, fmt.Sprintf("it declares heights in %s; %s %s overrules that", d, o.flag("unit"), o.Unit))
				break
			}
		}
	case known && vertical != "" && vertical != declared:
		return fmt.Errorf("%w clearly: the band says %s, the vertical CRS %s; settle it with %s", ErrUnit, declared, vertical, o.flag("unit"))
	case known:
		s.Unit, s.UnitFrom = declared, "band unit"
	case text != "":
		return fmt.Errorf("%w in a unit known here: the band says %q; give %s m, ft or us-ft", ErrUnit, text, o.flag("unit"))
	case vertical != "":
		s.Unit, s.UnitFrom = vertical, "vertical CRS"
	case badUnit != "":
		return fmt.Errorf("%w in a unit known here: the vertical CRS says %q; give %s m, ft or us-ft", ErrUnit, badUnit, o.flag("unit"))
	case r.place.geographic || r.place.unitM == 1:
		s.Unit, s.UnitFrom = Metre, "assumed"
		s.Assumed = append(s.Assumed, fmt.Sprintf("heights are in meters: the raster does not say (%s overrules)", o.flag("unit")))
	default:
		return fmt.Errorf("%w, and the grid is not in meters (1 unit = %.9g m), so heights may be in feet; give %s ft, us-ft or m", ErrUnit, r.place.unitM, o.flag("unit"))
	}
	s.UnitM = unitM[s.Unit]
	return nil
}

// minCellM is a cell finer than any survey's; not far below, rounding would
// tell its size.
const minCellM = 1e-3

// orient turns the raster over where its rows would run north, and measures a
// cell at its middle.
func (r *Raster) orient() error {
	cols, rows := r.Source.Cols, r.Source.Rows
	if g := &r.grid; g[1]*g[5] == g[2]*g[4] {
		return errors.New("its geotransform is flat: its rows and columns run the same way")
	}
	m, fromAbove, err := terrain.Measure(float64(cols)/2, float64(rows)/2, r.Locate)
	if err != nil {
		return fmt.Errorf("%w: CRS %s, middle of the raster; is that its CRS? (%s overrules)", err, r.place.name, r.options.flag("crs"))
	}
	if !fromAbove {
		r.flip = true
		g := &r.grid
		g[0], g[2] = g[0]+float64(rows)*g[2], -g[2]
		g[3], g[5] = g[3]+float64(rows)*g[5], -g[5]
	}
	w, h := m.CellM()
	if !(w >= minCellM && h >= minCellM) {
		return fmt.Errorf("its cells are %g × %g m on the ground, which no cells are; is %s its CRS? (%s overrules)", w, h, r.place.name, r.options.flag("crs"))
	}
	r.Source.CellM = [2]float64{math.Round(w*1e6) / 1e6, math.Round(h*1e6) / 1e6} // PROJ's noise is below
	r.step, err = terrain.ChooseStep(cols, rows, r.Locate)
	return err
}

// Locate is the raster's [terrain.Locate].
func (r *Raster) Locate(cells [][2]float64) ([][2]float64, error) {
	x, y := make([]float64, len(cells)), make([]float64, len(cells))
	g := &r.grid
	for i, c := range cells {
		x[i] = g[0] + c[0]*g[1] + c[1]*g[2]
		y[i] = g[3] + c[0]*g[4] + c[1]*g[5]
	}
	r.place.toWGS84(x, y)
	out := make([][2]float64, len(cells))
	for i := range out {
		out[i] = [2]float64{x[i], y[i]}
	}
	return out, nil
}

// Cells returns the cell coordinates of WGS84 longitudes and latitudes, NaN
// where the CRS has none.
func (r *Raster) Cells(lonLat [][2]float64) ([][2]float64, error) {
	if cells, ok := r.invert(lonLat); ok {
		return cells, nil
	}
	x, y := make([]float64, len(lonLat)), make([]float64, len(lonLat))
	for i, p := range lonLat {
		x[i], y[i] = p[0], p[1]
	}
	if err := r.place.fromWGS84(x, y); err != nil {
		return nil, err
	}
	g := &r.grid
	det := g[1]*g[5] - g[2]*g[4]
	midX := g[0] + float64(r.Source.Cols)/2*g[1] + float64(r.Source.Rows)/2*g[2]
	out := make([][2]float64, len(lonLat))
	for i := range out {
		if r.place.geographic {
			x[i] -= 360 * math.Round((x[i]-midX)/360)
		}
		dx, dy := x[i]-g[0], y[i]-g[3]
		out[i] = [2]float64{(dx*g[5] - dy*g[2]) / det, (dy*g[1] - dx*g[4]) / det}
	}
	return out, nil
}
