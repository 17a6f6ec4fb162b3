package raster

import (
	"bufio"
	"encoding/binary"
	"encoding/json"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"math"
	"os"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/raster/geotiff"
)

// Parting is how a raster is parted into pieces that are made apart and put together by
// [WriteWhole]. Pieces are counted from the north-west; those at the other sides are as
// large as what is left there.
type Parting struct {
	Cols, Rows           int // of the raster
	PieceCols, PieceRows int // multiples of 16
}

func (p Parting) check() error {
	if err := (Header{Cols: p.Cols, Rows: p.Rows}).check(); err != nil {
		return err
	}
	if p.PieceCols < 16 || p.PieceRows < 16 || p.PieceCols%16 != 0 || p.PieceRows%16 != 0 {
		return fmt.Errorf("pieces of %d × %d cells; take multiples of 16", p.PieceCols, p.PieceRows)
	}
	return nil
}

// checkPiece returns why a window with so many cells is no piece.
func (p Parting) checkPiece(at terrain.Window, cells int) error {
	if err := p.check(); err != nil {
		return err
	}
	whole := terrain.NewWindow(at.Col0, at.Row0, at.Col0+p.PieceCols, at.Row0+p.PieceRows).In(terrain.Window{Col1: p.Cols, Row1: p.Rows})
	if at.Empty() || at.Col0%p.PieceCols != 0 || at.Row0%p.PieceRows != 0 || at != whole {
		return fmt.Errorf("the window %v is no piece of %d × %d cells", at, p.PieceCols, p.PieceRows)
	}
	return Header{Cols: at.Cols(), Rows: at.Rows()}.checkFilled(cells)
}

// PieceWriter writes pieces of rasters. It keeps memory between them, and belongs to one
// goroutine. The zero PieceWriter is ready for use.
type PieceWriter struct {
	classes packing[uint8]
	values  packing[float32]
}

// Classes writes a piece of a raster of classes into a file, packed as [WriteWhole] takes it.
// Cells are as in [WriteClasses].
func (w *PieceWriter) Classes(path string, p Parting, at terrain.Window, remarks []string, cells []uint8) error {
	return w.classes.writePiece(path, p, at, remarks, cells)
}

// Values is [PieceWriter.Classes] for cells as in [WriteValues].
func (w *PieceWriter) Values(path string, p Parting, at terrain.Window, remarks []string, cells []float32) error {
	return w.values.writePiece(path, p, at, remarks, cells)
}

// pieceFoot stands at the end of a piece's file. Before it come the packed tiles,
// row-major, and the cells of each overview as they are.
type pieceFoot struct {
	At      terrain.Window
	Parting Parting
	Floats  bool
	Tiles   []int64  // bytes of each
	Sums    []uint32 // CRC-32 of each
	Reduced uint32   // CRC-32 of the overviews' cells
	Remarks []string
}

// pieceMark ends a piece's file, after the length of the foot and its CRC-32.
const pieceMark = "acreband piece 2"

const pieceTail = 8 + len(pieceMark)

func (k *packing[T]) writePiece(path string, p Parting, at terrain.Window, remarks []string, cells []T) (err error) {
	if err := p.checkPiece(at, len(cells)); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if k.file == nil {
		k.file = bufio.NewWriterSize(nil, 1<<20)
	}
	w := k.file
	w.Reset(f)
	foot := pieceFoot{At: at, Parting: p, Floats: isFloat[T](), Remarks: remarks}
	l := newLayout[T](p)
	tiles := l.tilesOf(at)
	for row := tiles.Row0; row < tiles.Row1; row++ {
		for col := tiles.Col0; col < tiles.Col1; col++ {
			packed, err := k.tile(cells, at, l.window(col, row))
			if err != nil {
				return err
			}
			foot.Tiles, foot.Sums = append(foot.Tiles, int64(len(packed))), append(foot.Sums, crc32.ChecksumIEEE(packed))
			if _, err := w.Write(packed); err != nil {
				return err
			}
		}
	}
	sum := crc32.NewIEEE()
	for _, factor := range l.factors {
		if err := writeCells(io.MultiWriter(w, sum), k.every(cells, at, factor)); err != nil {
			return err
		}
	}
	foot.Reduced = sum.Sum32()
	text, err := json.Marshal(foot)
	if err != nil {
		return err
	}
	text = binary.LittleEndian.AppendUint32(text, uint32(len(text)))
	text = binary.LittleEndian.AppendUint32(text, crc32.ChecksumIEEE(text[:len(text)-4]))
	if _, err := w.Write(append(text, pieceMark...)); err != nil {
		return err
	}
	return w.Flush()
}

// ErrPiece says that a file holds no whole piece.
var ErrPiece = errors.New("it is no piece, or was cut short or damaged")

// openPiece opens a piece's file and reads its foot.
func openPiece(path string) (f *os.File, foot pieceFoot, err error) {
	if f, err = os.Open(path); err != nil {
		return nil, foot, err
	}
	if foot, err = readFoot(f); err != nil {
		return nil, foot, errors.Join(fmt.Errorf("%s: %w", path, err), f.Close())
	}
	return f, foot, nil
}

func readFoot(f *os.File) (foot pieceFoot, err error) {
	info, err := f.Stat()
	if err != nil {
		return foot, err
	}
	tail := make([]byte, pieceTail)
	if info.Size() < int64(len(tail)) {
		return foot, ErrPiece
	}
	if _, err := f.ReadAt(tail, info.Size()-int64(len(tail))); err != nil {
		return foot, err
	}
	n := int64(binary.LittleEndian.Uint32(tail))
	if string(tail[8:]) != pieceMark || n > info.Size()-int64(len(tail)) {
		return foot, ErrPiece
	}
	text := make([]byte, n)
	if _, err := f.ReadAt(text, info.Size()-int64(len(tail))-n); err != nil {
		return foot, err
	}
	if crc32.ChecksumIEEE(text) != binary.LittleEndian.Uint32(tail[4:]) {
		return foot, ErrPiece
	}
	return foot, json.Unmarshal(text, &foot)
}

// pieceFiles opens files of pieces. It belongs to one goroutine.
type pieceFiles struct {
	of     []Piece
	opened map[int]*os.File
}

// mostPieceFiles is how many files of pieces are open at a time, for one goroutine: a row of pieces may be
// hundreds, and several goroutines read them.
const mostPieceFiles = 64

// open opens the file of a piece, and closes all others where they are many.
func (p *pieceFiles) open(i int) (*os.File, error) {
	if f := p.opened[i]; f != nil {
		return f, nil
	}
	if len(p.opened) >= mostPieceFiles {
		if err := p.close(); err != nil {
			return nil, err
		}
	}
	f, err := os.Open(p.of[i].Path)
	if err != nil {
		return nil, err
	}
	if p.opened == nil {
		p.opened = map[int]*os.File{}
	}
	p.opened[i] = f
	return f, nil
}

func (p *pieceFiles) close() (err error) {
	for _, f := range p.opened {
		err = errors.Join(err, f.Close())
	}
	clear(p.opened)
	return err
}

// tileBytes is how many bytes the tiles take.
func (p pieceFoot) tileBytes() (n int64) {
	for _, b := range p.Tiles {
		n += b
	}
	return n
}

// checkReduced reads the overviews' cells, so many bytes.
func (p pieceFoot) checkReduced(f io.ReaderAt, bytes int64) error {
	sum := crc32.NewIEEE()
	if _, err := io.Copy(sum, io.NewSectionReader(f, p.tileBytes(), bytes)); err != nil {
		return err
	}
	if sum.Sum32() != p.Reduced {
		return ErrPiece
	}
	return nil
}

// RemarksOf reads the remarks that a piece was written with, and fails where the file
// is none.
func RemarksOf(path string) ([]string, error) {
	f, foot, err := openPiece(path)
	if err != nil {
		return nil, err
	}
	return foot.Remarks, f.Close()
}

// cell is what rasters that are written hold.
type cell interface{ uint8 | float32 }

func isFloat[T cell]() bool {
	var zero T
	_, is := any(zero).(float32)
	return is
}

func noCell[T cell]() T {
	var v T
	switch p := any(&v).(type) {
	case *float32:
		*p = float32(math.NaN())
	case *uint8:
		*p = NoClass
	}
	return v
}

// packing packs tiles of cells.
type packing[T cell] struct {
	packer  geotiff.Packer
	scratch []T
	file    *bufio.Writer // of a piece
}

// tile packs the part of a raster's cells, which fill the window at, that lies in the
// window of a tile. Beyond the cells a row goes on as it ends, and so do rows: that takes
// next to no room.
func (k *packing[T]) tile(cells []T, at, tile terrain.Window) ([]byte, error) {
	cols := tile.Cols()
	k.scratch = k.scratch[:0]
	part := tile.In(at)
	for row := part.Row0; row < part.Row1; row++ {
		k.scratch = append(k.scratch, cells[(row-at.Row0)*at.Cols()+part.Col0-at.Col0:][:part.Cols()]...)
		for last := k.scratch[len(k.scratch)-1]; len(k.scratch)%cols != 0; {
			k.scratch = append(k.scratch, last)
		}
	}
	for last := k.scratch[len(k.scratch)-1]; len(k.scratch) < cols*tile.Rows(); {
		k.scratch = append(k.scratch, last)
	}
	switch c := any(k.scratch).(type) {
	case []float32:
		return k.packer.Values(c, cols)
	case []uint8:
		return k.packer.Bytes(c)
	}
	return nil, nil
}

// every takes the cells of an overview: those whose column and row in the raster are
// multiples of a factor. One cell stands for all around it, since a mean of slopes would
// show ground gentler than it is.
func (k *packing[T]) every(cells []T, at terrain.Window, factor int) []T {
	k.scratch = k.scratch[:0]
	for row := roundUp(at.Row0, factor); row < at.Row1; row += factor {
		line := cells[(row-at.Row0)*at.Cols():][:at.Cols()]
		for col := roundUp(at.Col0, factor); col < at.Col1; col += factor {
			k.scratch = append(k.scratch, line[col-at.Col0])
		}
	}
	return k.scratch
}

func roundUp(n, factor int) int { return (n + factor - 1) / factor * factor }

func writeCells[T cell](w io.Writer, cells []T) error {
	if b, ok := any(cells).([]uint8); ok {
		_, err := w.Write(b)
		return err
	}
	return binary.Write(w, binary.LittleEndian, cells)
}
