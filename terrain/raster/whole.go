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
	w := &whole[T]{layout: newLayout[T](p), pieces: pieces, opened: map[int]*os.File{}}
	if err := w.readFeet(); err != nil {
		return err
	}
	base, err := w.base()
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
	defer func() { err = errors.Join(err, out.Close(), w.close()) }()
	buffered := bufio.NewWriterSize(out, 1<<20)
	return cmp.Or(file.Write(buffered), buffered.Flush())
}

// whole is a raster that is put together.
type whole[T cell] struct {
	layout
	pieces []Piece
	feet   []pieceFoot
	rows   map[int][]int // of pieces, by their first row
	opened map[int]*os.File
	k      packing[T]
}

// readFeet reads where the tiles of the pieces lie.
func (w *whole[T]) readFeet() error {
	w.rows = map[int][]int{}
	for i, p := range w.pieces {
		f, foot, err := openPiece(p.Path)
		if err != nil {
			return err
		}
		if err := f.Close(); err != nil {
			return err
		}
		tiles := w.tilesOf(p.At)
		if foot.At != p.At || foot.Parting != w.Parting || foot.Floats != isFloat[T]() || len(foot.Tiles) != tiles.Cols()*tiles.Rows() || len(foot.Sums) != len(foot.Tiles) || slices.Min(foot.Tiles) < 1 {
			return fmt.Errorf("%s: it is a piece of another raster", p.Path)
		}
		w.feet = append(w.feet, foot)
		w.rows[p.At.Row0] = append(w.rows[p.At.Row0], i)
	}
	return nil
}

// base is the level of the cells themselves, in the pieces' tiles. Where there is no piece
// is a tile of nothing.
func (w *whole[T]) base() (geotiff.Level, error) {
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
	nothing, err := w.k.tile([]T{noCell[T]()}, terrain.Window{Col1: 1, Row1: 1}, w.window(0, 0))
	if err != nil {
		return l, err
	}
	nothing = slices.Clone(nothing)
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
		f, err := w.open(p.piece)
		if err != nil {
			return nil, err
		}
		tile = slices.Grow(tile[:0], int(l.Sizes[k]))[:l.Sizes[k]]
		if _, err = f.ReadAt(tile, p.at); err == nil && crc32.ChecksumIEEE(tile) != w.feet[p.piece].Sums[p.tile] {
			err = errPiece
		}
		if err != nil {
			return nil, fmt.Errorf("%s: %w", w.pieces[p.piece].Path, err)
		}
		return tile, nil
	}
	return l, nil
}

// open opens the file of a piece, and closes those of other rows of pieces.
func (w *whole[T]) open(i int) (*os.File, error) {
	if f := w.opened[i]; f != nil {
		return f, nil
	}
	for k := range w.opened {
		if w.pieces[k].At.Row0 != w.pieces[i].At.Row0 {
			if err := w.close(); err != nil {
				return nil, err
			}
			break
		}
	}
	f, err := os.Open(w.pieces[i].Path)
	if err == nil {
		w.opened[i] = f
	}
	return f, err
}

// close closes the files of pieces.
func (w *whole[T]) close() (err error) {
	for _, f := range w.opened {
		err = errors.Join(err, f.Close())
	}
	clear(w.opened)
	return err
}

func (w *whole[T]) cellBytes() int64 {
	if isFloat[T]() {
		return 4
	}
	return 1
}

// overviews adds the overviews to a file, packed into scratch.
func (w *whole[T]) overviews(file *geotiff.File, scratch *os.File) error {
	buffered := bufio.NewWriterSize(scratch, 1<<20)
	start := int64(0)
	all := terrain.Window{Col1: w.Cols, Row1: w.Rows}
	for level, factor := range w.factors {
		at := reduced(all, factor)
		l := geotiff.Level{Cols: at.Cols(), Rows: at.Rows()}
		l.TileCols, l.TileRows = tileFor[T](l.Cols)
		for row := 0; row < l.Rows; row += l.TileRows {
			strip := terrain.Window{Col1: l.Cols, Row0: row, Row1: min(row+l.TileRows, l.Rows)}
			cells, err := w.strip(level, strip)
			if err != nil {
				return err
			}
			for col := 0; col < l.Cols; col += l.TileCols {
				packed, err := w.k.tile(cells, strip, terrain.Window{Col0: col, Row0: row, Col1: col + l.TileCols, Row1: row + l.TileRows})
				if err != nil {
					return err
				}
				l.Sizes = append(l.Sizes, int64(len(packed)))
				if _, err := buffered.Write(packed); err != nil {
					return err
				}
			}
		}
		var tile []byte
		next, sizes := start, l.Sizes
		l.Tile = func(i int) ([]byte, error) {
			tile = slices.Grow(tile[:0], int(sizes[i]))[:sizes[i]]
			_, err := scratch.ReadAt(tile, next)
			next += sizes[i]
			return tile, err
		}
		for _, n := range sizes {
			start += n
		}
		file.Levels = append(file.Levels, l)
	}
	return buffered.Flush()
}

// strip gathers rows of an overview from the pieces.
func (w *whole[T]) strip(level int, strip terrain.Window) ([]T, error) {
	factor := w.factors[level]
	cells := make([]T, strip.Cols()*strip.Rows())
	for i := range cells {
		cells[i] = noCell[T]()
	}
	for row0 := strip.Row0 * factor / w.PieceRows * w.PieceRows; row0 < strip.Row1*factor; row0 += w.PieceRows {
		for _, i := range w.rows[row0] {
			if err := w.gather(cells, strip, level, i); err != nil {
				return nil, fmt.Errorf("%s: %w", w.pieces[i].Path, err)
			}
		}
	}
	return cells, nil
}

// gather copies a piece's cells of an overview that lie in a strip of it.
func (w *whole[T]) gather(cells []T, strip terrain.Window, level, i int) error {
	foot := &w.feet[i]
	skip := foot.tileBytes()
	for _, factor := range w.factors[:level] {
		part := reduced(foot.At, factor)
		skip += int64(part.Cols()) * int64(part.Rows()) * w.cellBytes()
	}
	has := reduced(foot.At, w.factors[level])
	part := has.In(strip)
	if part.Empty() {
		return nil
	}
	f, err := w.open(i)
	if err != nil {
		return err
	}
	got := make([]byte, int64(part.Rows()*has.Cols())*w.cellBytes())
	if _, err := f.ReadAt(got, skip+int64((part.Row0-has.Row0)*has.Cols())*w.cellBytes()); err != nil {
		return err
	}
	for row := range part.Rows() {
		to := cells[(part.Row0+row-strip.Row0)*strip.Cols()+part.Col0-strip.Col0:][:part.Cols()]
		readCellsInto(to, got[int64(row*has.Cols())*w.cellBytes():])
	}
	return nil
}

func readCellsInto[T cell](to []T, from []byte) {
	switch c := any(to).(type) {
	case []uint8:
		copy(c, from)
	case []float32:
		for i := range c {
			c[i] = math.Float32frombits(uint32(from[4*i]) | uint32(from[4*i+1])<<8 | uint32(from[4*i+2])<<16 | uint32(from[4*i+3])<<24)
		}
	}
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
