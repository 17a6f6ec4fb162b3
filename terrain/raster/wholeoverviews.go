package raster

import (
	"bufio"
	"cmp"
	"fmt"
	"io"
	"math"
	"os"
	"runtime"
	"slices"
	"sync/atomic"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/raster/geotiff"
)

// overviews adds the overviews to a file, packed into scratch. Rows of tiles are packed by
// several goroutines, and written in their order.
func (w *whole[T]) overviews(file *geotiff.File, scratch *os.File) error {
	levels, strips := w.reducedLevels()
	out := bufio.NewWriterSize(scratch, 1<<20)
	turns := make([]chan struct{}, len(strips)+1) // each closed once all strips before are written
	for i := range turns {
		turns[i] = make(chan struct{})
	}
	close(turns[0])
	errs := make([]error, len(strips))
	do := func(p *reducer[T], i int) {
		defer close(turns[i+1])
		s := strips[i]
		l := &levels[s.level]
		err := p.pack(s, l.TileCols, l.TileRows)
		<-turns[i]
		if err == nil {
			l.Sizes = append(l.Sizes, p.sizes...)
			_, err = out.Write(p.packed)
		}
		errs[i] = err
	}
	var next atomic.Int64
	var failed atomic.Bool
	var all beside.Group
	defer all.Wait()
	for range min(runtime.GOMAXPROCS(0), mostReducers) {
		all.Go(func() {
			p := &reducer[T]{whole: w, files: pieceFiles{of: w.pieces}}
			for i := int(next.Add(1)) - 1; i < len(strips) && !failed.Load(); i = int(next.Add(1)) - 1 {
				if do(p, i); errs[i] != nil {
					failed.Store(true)
				}
			}
			_ = p.files.close() // they were only read
		})
	}
	all.Wait()
	if err := cmp.Or(errs...); err != nil {
		return err
	}
	at := int64(0)
	for _, l := range levels {
		l.Tile = tilesFrom(scratch, at, l.Sizes)
		for _, n := range l.Sizes {
			at += n
		}
		file.Levels = append(file.Levels, l)
	}
	return out.Flush()
}

// tilesFrom reads tiles that lie one after another, in that order.
func tilesFrom(f io.ReaderAt, at int64, sizes []int64) func(int) ([]byte, error) {
	var tile []byte
	return func(i int) ([]byte, error) {
		tile = slices.Grow(tile[:0], int(sizes[i]))[:sizes[i]]
		_, err := f.ReadAt(tile, at)
		at += sizes[i]
		return tile, err
	}
}

// mostReducers is how many goroutines put overviews together: each keeps a strip's cells, some
// 30 MB of a raster of 100,000 columns.
const mostReducers = 4

// strip is rows of an overview, as high as its tiles.
type strip struct {
	level int
	at    terrain.Window
}

// reducedLevels lays out the overviews.
func (w *whole[T]) reducedLevels() (levels []geotiff.Level, strips []strip) {
	for level, factor := range w.factors {
		at := reduced(terrain.Window{Col1: w.Cols, Row1: w.Rows}, factor)
		l := geotiff.Level{Cols: at.Cols(), Rows: at.Rows()}
		l.TileCols, l.TileRows = tileFor[T](l.Cols)
		for row := 0; row < l.Rows; row += l.TileRows {
			strips = append(strips, strip{level, terrain.Window{Col1: l.Cols, Row0: row, Row1: min(row+l.TileRows, l.Rows)}})
		}
		levels = append(levels, l)
	}
	return levels, strips
}

// reducer puts strips of overviews together. It belongs to one goroutine.
type reducer[T cell] struct {
	*whole[T]
	files  pieceFiles
	k      packing[T]
	cells  []T
	got    []byte
	packed []byte  // tiles of a strip
	sizes  []int64 // of them
}

// pack packs the tiles of a strip.
func (r *reducer[T]) pack(s strip, tileCols, tileRows int) error {
	r.packed, r.sizes = r.packed[:0], r.sizes[:0]
	if err := r.gather(s); err != nil {
		return err
	}
	for col := 0; col < s.at.Col1; col += tileCols {
		tile := terrain.Window{Col0: col, Row0: s.at.Row0, Col1: col + tileCols, Row1: s.at.Row0 + tileRows}
		packed, err := r.k.tile(r.cells, s.at, tile)
		if err != nil {
			return err
		}
		r.packed, r.sizes = append(r.packed, packed...), append(r.sizes, int64(len(packed)))
	}
	return nil
}

// gather gathers the cells of a strip from the pieces.
func (r *reducer[T]) gather(s strip) error {
	factor := r.factors[s.level]
	r.cells = slices.Grow(r.cells[:0], s.at.Cols()*s.at.Rows())[:s.at.Cols()*s.at.Rows()]
	for i := range r.cells {
		r.cells[i] = noCell[T]()
	}
	for row0 := s.at.Row0 * factor / r.PieceRows * r.PieceRows; row0 < s.at.Row1*factor; row0 += r.PieceRows {
		for _, i := range r.rows[row0] {
			if err := r.take(s, i); err != nil {
				return fmt.Errorf("%s: %w", r.pieces[i].Path, err)
			}
		}
	}
	return nil
}

// take takes a piece's cells that lie in a strip.
func (r *reducer[T]) take(s strip, i int) error {
	foot := &r.feet[i]
	skip := foot.tileBytes() + reducedBytes[T](foot.At, r.factors[:s.level])
	has := reduced(foot.At, r.factors[s.level])
	part := has.In(s.at)
	if part.Empty() {
		return nil
	}
	f, err := r.files.open(i)
	if err != nil {
		return err
	}
	n := part.Rows() * has.Cols() * int(cellBytes[T]())
	r.got = slices.Grow(r.got[:0], n)[:n]
	if _, err := f.ReadAt(r.got, skip+int64((part.Row0-has.Row0)*has.Cols())*cellBytes[T]()); err != nil {
		return err
	}
	for row := range part.Rows() {
		to := r.cells[(part.Row0+row-s.at.Row0)*s.at.Cols()+part.Col0-s.at.Col0:][:part.Cols()]
		readCellsInto(to, r.got[int64(row*has.Cols())*cellBytes[T]():])
	}
	return nil
}

// reducedBytes is what a window's cells take in overviews.
func reducedBytes[T cell](at terrain.Window, factors []int) (n int64) {
	for _, factor := range factors {
		part := reduced(at, factor)
		n += int64(part.Cols()) * int64(part.Rows()) * cellBytes[T]()
	}
	return n
}

func cellBytes[T cell]() int64 {
	if isFloat[T]() {
		return 4
	}
	return 1
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
