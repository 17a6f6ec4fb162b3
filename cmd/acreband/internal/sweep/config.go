package sweep

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/resume"
	"github.com/acreband/acreband/zoning/text"
)

// Config is a run over rasters.
type Config struct {
	Elevation     []string // what raster.NewCatalogue takes
	RasterOptions raster.Options
	Fleet         zoning.Fleet
	Options       mapping.Options

	Version  string        // of the program: a run and its continuation must share it
	Settings resume.Inputs // beside fleet and elevation, such as flags

	Dir          string
	Bands, Slope bool // what to write: bands.tif, slope.tif
	Workers      int  // at least 1
	Anew         bool // begin again, whatever is kept in Dir

	pieceCols, pieceRows int // of a piece; 0 is PieceCols and PieceRows

	Tell func(step string, done, total int) // from any goroutine; may be nil
}

// Names of the outputs, and of what is kept for them.
const (
	BandsName = "bands.tif"
	SlopeName = "slope.tif"
	keptName  = "pieces"
	headName  = "run.json"
)

// PieceCols and PieceRows are how many cells a piece has: as wide as a tile of slopes, so
// that tiles are packed where pieces are made.
const (
	PieceCols = 4096
	PieceRows = 1024
)

// cacheBytes is the cache of decoded blocks, which workers share: what a row of abreast
// pieces reads of tiles as public surveys write them, of which the next row reads half
// again.
const cacheBytes = 96 << 20

// abreast is how many pieces lie beside each other before those below them are made.
const abreast = 3

var (
	// ErrStopped says that a run was told to stop before it was through.
	ErrStopped = errors.New("stopped")
	// ErrPieces says that pieces could not be made, the others being kept.
	ErrPieces = errors.New("some of the ground could not be done")
)

// Result is what a run did.
type Result struct{ Grids []Grid }

// Grid is what was made of the rasters on one grid.
type Grid struct {
	Dir    string // of its outputs
	Of     []string
	Pieces int // that the ground is cut into, but for those on no raster
	Again  int // of them, those of an earlier start
	Cols   int
	Rows   int
	Scale  string // the ground over which slope was taken, in words
}

// gdalCacheMB is GDAL's own block cache, of blocks that are kept here already: left to
// itself it takes a twentieth of the machine's memory.
const gdalCacheMB = "16"

// Run makes the outputs, in [Config.Dir], or where the rasters lie on several grids for
// each in a folder of its own there. Where it ends before all is done, what was done is
// kept.
func Run(stop context.Context, c Config) (Result, error) {
	if c.Workers < 1 {
		return Result{}, errors.New("no workers")
	}
	if !c.Bands && !c.Slope {
		return Result{}, errors.New("nothing is to be written")
	}
	if os.Getenv("GDAL_CACHEMAX") == "" {
		if err := os.Setenv("GDAL_CACHEMAX", gdalCacheMB); err != nil {
			return Result{}, err
		}
	}
	c.pieceCols, c.pieceRows = cmp.Or(c.pieceCols, PieceCols), cmp.Or(c.pieceRows, PieceRows)
	if c.Tell == nil {
		c.Tell = func(string, int, int) {}
	}
	mosaics, err := c.mosaics(stop)
	if err != nil && stop.Err() != nil {
		err = fmt.Errorf("%w before the elevation was looked through; start again", ErrStopped)
	}
	if err != nil {
		return Result{}, err
	}
	var result Result
	var errs []error
	for i, m := range mosaics {
		r := &run{Config: c, stop: stop, mosaic: m}
		if len(mosaics) > 1 {
			r.Dir = filepath.Join(c.Dir, gridName(i, m))
			r.Tell = func(step string, done, total int) {
				c.Tell(fmt.Sprintf("grid %d of %d: %s", i+1, len(mosaics), step), done, total)
			}
		}
		r.kept = filepath.Join(r.Dir, keptName)
		err := r.do()
		if err != nil && len(mosaics) > 1 {
			err = fmt.Errorf("%s: %w", r.Dir, err)
		}
		result.Grids, errs = append(result.Grids, r.result), append(errs, err)
		if errors.Is(err, ErrStopped) {
			break
		}
	}
	return result, errors.Join(errs...)
}

// gridName is the folder of a grid: its number, and its first raster, by which people
// know it.
func gridName(i int, m *raster.Mosaic) string {
	base := filepath.Base(m.Entries[0].Path)
	base = strings.TrimSuffix(base, filepath.Ext(base))
	return fmt.Sprintf("grid-%d-%s", i+1, text.FileName(base))
}

// mosaics lays out the elevation.
func (c Config) mosaics(stop context.Context) ([]*raster.Mosaic, error) {
	catalogue, err := raster.NewCatalogue(stop, c.Elevation, c.RasterOptions)
	if err != nil {
		return nil, err
	}
	defer catalogue.Close()
	return catalogue.Mosaics(stop)
}
