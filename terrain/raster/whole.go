package raster

import (
	"bufio"
	"cmp"
	"errors"
	"fmt"
	"hash/crc32"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/airbusgeo/godal"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster/geotiff"
)

// Piece is a file that holds a window of a raster.
type Piece struct {
	Path string
	At   terrain.Window
}

// WriteWhole puts pieces together into one cloud-optimised GeoTIFF on disk, of classes, or
// of values where classes is nil. What no piece covers is nodata. The packed tiles are
// copied as they are; overviews take one cell for all around it, and are put together in
// a file beside the pieces for a while. The same pieces give the same bytes.
func WriteWhole(path string, h Header, p Parting, pieces []Piece, classes []Class) error {
	if classes != nil {
		return writeWhole[uint8](path, h, p, pieces, classes)
	}
	return writeWhole[float32](path, h, p, pieces, nil)
}

func writeWhole[T cell](path string, h Header, p Parting, pieces []Piece, classes []Class) (err error) {
	h.Cols, h.Rows = p.Cols, p.Rows
	if err := cmp.Or(h.check(), p.check(), checkClasses(classes)); err != nil {
		return err
	}
	for _, p := range pieces {
		if p.At.Empty() {
			return fmt.Errorf("%s: the piece holds no cell (%v)", p.Path, p.At)
		}
	}
	w := &whole[T]{layout: newLayout[T](p), pieces: pieces}
	if err := w.readFeet(); err != nil {
		return err
	}
	files := pieceFiles{of: pieces}
	defer func() { err = errors.Join(err, files.close()) }()
	base, err := w.base(&files)
	if err != nil {
		return err
	}
	file := geotiff.File{Floats: isFloat[T](), Levels: []geotiff.Level{base}}
	if file.Tags, err = h.tags(isFloat[T](), classes); err != nil {
		return err
	}
	scratch, err := os.CreateTemp(filepath.Dir(path), "overviews")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, scratch.Close(), os.Remove(scratch.Name())) }()
	if err := w.overviews(&file, scratch); err != nil {
		return err
	}
	out, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, out.Close()) }()
	buffered := bufio.NewWriterSize(out, 1<<20)
	return cmp.Or(file.Write(buffered), buffered.Flush())
}

// whole is a raster that is put together.
type whole[T cell] struct {
	layout
	pieces []Piece
	feet   []pieceFoot
	rows   map[int][]int // of pieces, by their first row
}

// readFeet reads where the tiles of the pieces lie.
func (w *whole[T]) readFeet() error {
	w.rows = map[int][]int{}
	for i, p := range w.pieces {
		f, foot, err := openPiece(p.Path)
		if err != nil {
			return err
		}
		tiles := w.tilesOf(p.At)
		if foot.At != p.At || foot.Parting != w.Parting || foot.Floats != isFloat[T]() || len(foot.Tiles) != tiles.Cols()*tiles.Rows() || len(foot.Sums) != len(foot.Tiles) || slices.Min(foot.Tiles) < 1 {
			return errors.Join(fmt.Errorf("%s: it is a piece of another raster", p.Path), f.Close())
		}
		if err := errors.Join(foot.checkReduced(f, reducedBytes[T](p.At, w.factors)), f.Close()); err != nil {
			return fmt.Errorf("%s: %w", p.Path, err)
		}
		w.feet = append(w.feet, foot)
		w.rows[p.At.Row0] = append(w.rows[p.At.Row0], i)
	}
	return nil
}

// base is the level of the cells themselves, in the pieces' tiles. Where there is no piece
// is a tile of nothing.
func (w *whole[T]) base(files *pieceFiles) (geotiff.Level, error) {
	type place struct {
		piece int
		tile  int // of it
		at    int64
	}
	l := geotiff.Level{Cols: w.Cols, Rows: w.Rows, TileCols: w.tileCols, TileRows: w.tileRows}
	l.Sizes = make([]int64, l.TileCount())
	places := make([]place, l.TileCount())
	across := (w.Cols + w.tileCols - 1) / w.tileCols
	for i, p := range w.pieces {
		at := int64(0)
		tiles, n := w.tilesOf(p.At), 0
		for row := tiles.Row0; row < tiles.Row1; row++ {
			for col := tiles.Col0; col < tiles.Col1; col++ {
				k := row*across + col
				places[k], l.Sizes[k] = place{i, n, at}, w.feet[i].Tiles[n]
				at, n = at+l.Sizes[k], n+1
			}
		}
	}
	var k packing[T]
	nothing, err := k.tile([]T{noCell[T]()}, terrain.Window{Col1: 1, Row1: 1}, w.window(0, 0))
	if err != nil {
		return l, err
	}
	for k, n := range l.Sizes {
		if n == 0 {
			places[k].piece, l.Sizes[k] = -1, int64(len(nothing))
		}
	}
	var tile []byte
	l.Tile = func(k int) ([]byte, error) {
		p := places[k]
		if p.piece < 0 {
			return nothing, nil
		}
		f, err := files.open(p.piece)
		if err != nil {
			return nil, err
		}
		tile = slices.Grow(tile[:0], int(l.Sizes[k]))[:l.Sizes[k]]
		if _, err = f.ReadAt(tile, p.at); err == nil && crc32.ChecksumIEEE(tile) != w.feet[p.piece].Sums[p.tile] {
			err = ErrPiece
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.pieces[p.piece].Path, err)
		}
		return tile, nil
	}
	return l, nil
}

// tags are the GeoTIFF's words for place and meaning, as GDAL writes them.
func (h Header) tags(floats bool, classes []Class) (tags []geotiff.Tag, err error) {
	if err := registerCOG(); err != nil {
		return nil, fmt.Errorf("registering GDAL's GeoTIFF writer: %w", err)
	}
	name := fmt.Sprintf("/vsimem/acreband-%d.tif", made.Add(1))
	defer func() { _ = godal.VSIUnlink(name, godal.ErrLogger(quiet)) }() // there is none where writing failed
	if err := h.makeSample(name, floats, classes); err != nil {
		return nil, fmt.Errorf("making a GeoTIFF: %w", err)
	}
	var text strings.Builder
	if err := copyFrom(&text, name); err != nil {
		return nil, err
	}
	return geotiff.TagsOf([]byte(text.String()))
}

// makeSample makes a GeoTIFF of one cell that says of its cells what a raster's say.
func (h Header) makeSample(name string, floats bool, classes []Class) (err error) {
	silently := godal.ErrLogger(quiet)
	t, nodata := godal.Byte, float64(NoClass)
	if floats {
		t, nodata = godal.Float32, math.NaN()
	}
	ds, err := godal.Create(godal.GTiff, name, 1, t, 1, 1, silently, godal.CreationOption("ENDIANNESS=LITTLE", "BIGTIFF=NO"))
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, ds.Close(silently)) }()
	return h.describe(ds, nodata, classes)
}
