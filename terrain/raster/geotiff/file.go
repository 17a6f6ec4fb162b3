package geotiff

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
)

// File is a GeoTIFF of one band: of float32 packed by [Packer.Values], or of bytes packed
// by [Packer.Bytes].
type File struct {
	Floats bool
	Tags   []Tag   // from [TagsOf]; a map of colours makes a palette
	Levels []Level // the cells themselves, then overviews, each with fewer cells
}

// Level is the cells of a file at one resolution, in tiles.
type Level struct {
	Cols, Rows         int
	TileCols, TileRows int                         // multiples of 16
	Sizes              []int64                     // of the packed tiles, row-major from the north-west
	Tile               func(i int) ([]byte, error) // a packed tile; they are asked for one after another
}

// TileCount is how many tiles a level has.
func (l *Level) TileCount() int {
	return ((l.Cols + l.TileCols - 1) / l.TileCols) * ((l.Rows + l.TileRows - 1) / l.TileRows)
}

func (l *Level) check() error {
	switch {
	case l.Cols < 1 || l.Rows < 1 || l.TileCols < 1 || l.TileRows < 1 || l.TileCols%16 != 0 || l.TileRows%16 != 0:
		return fmt.Errorf("%d × %d cells in tiles of %d × %d; tiles take multiples of 16", l.Cols, l.Rows, l.TileCols, l.TileRows)
	case len(l.Sizes) != l.TileCount():
		return fmt.Errorf("%d sizes for %d tiles", len(l.Sizes), l.TileCount())
	}
	for i, n := range l.Sizes {
		if n < trailerBytes || n > math.MaxUint32 {
			return fmt.Errorf("tile %d takes %d bytes", i, n)
		}
	}
	return nil
}

// A tile has its size before it and its last bytes once more behind it, so that readers
// over a network can take a tile, and know that nobody moved it, in one reading.
const leaderBytes, trailerBytes = 4, 4

// bytes is what a level's tiles take.
func (l *Level) bytes() (n int64) {
	for _, size := range l.Sizes {
		n += leaderBytes + size + trailerBytes
	}
	return n
}

func (l *Level) write(w io.Writer) error {
	var around [leaderBytes]byte
	for i, size := range l.Sizes {
		tile, err := l.Tile(i)
		if err != nil {
			return err
		}
		if int64(len(tile)) != size {
			return fmt.Errorf("tile %d takes %d bytes where %d were announced", i, len(tile), size)
		}
		littleEndian.PutUint32(around[:], uint32(size))
		for _, part := range [][]byte{around[:], tile, tile[size-trailerBytes:]} {
			if _, err := w.Write(part); err != nil {
				return err
			}
		}
	}
	return nil
}

// layoutWords tell readers how directories and tiles lie, in GDAL's words for it (its
// driver of cloud-optimised GeoTIFFs, "Header ghost area"). Blanks make the directory
// behind them begin at a multiple of 8.
var layoutWords = func() string {
	says := "LAYOUT=IFDS_BEFORE_DATA\nBLOCK_ORDER=ROW_MAJOR\nBLOCK_LEADER=SIZE_AS_UINT4\nBLOCK_TRAILER=LAST_4_BYTES_REPEATED\nKNOWN_INCOMPATIBLE_EDITION=NO\n "
	const head = "GDAL_STRUCTURAL_METADATA_SIZE=%06d bytes\n"
	for len(fmt.Sprintf(head, 0)+says)%8 != 0 {
		says += " "
	}
	return fmt.Sprintf(head, len(says)) + says
}()

// Write writes the file: directories, then the cells, the fewest first, so that who looks
// from afar reads only the beginning. It is a BigTIFF where it would pass 4 GB.
func (f File) Write(w io.Writer) error {
	if len(f.Levels) == 0 {
		return errors.New("a GeoTIFF of no cells")
	}
	for i := range f.Levels {
		if err := f.Levels[i].check(); err != nil {
			return fmt.Errorf("level %d of the GeoTIFF: %w", i, err)
		}
	}
	head, end := f.head(false)
	if end > mostClassic {
		head, _ = f.head(true)
	}
	if _, err := w.Write(head); err != nil {
		return err
	}
	for i := range slices.Backward(f.Levels) {
		if err := f.Levels[i].write(w); err != nil {
			return err
		}
	}
	return nil
}

// mostClassic is the most bytes of a file that is no BigTIFF.
var mostClassic int64 = math.MaxUint32

// head is what comes before the tiles, and where those end.
func (f File) head(big bool) (head []byte, end int64) {
	// The first time around it is only measured.
	end = int64(len(f.directories(big, make([]int64, len(f.Levels)))))
	starts := make([]int64, len(f.Levels))
	for i := range slices.Backward(f.Levels) {
		starts[i] = end
		end += f.Levels[i].bytes()
	}
	return f.directories(big, starts), end
}

// directories writes the header and the directory of each level, whose tiles start where
// starts says.
func (f File) directories(big bool, starts []int64) []byte {
	out := []byte("II*\x00")
	if big {
		out = []byte("II+\x00\x08\x00\x00\x00")
	}
	link := len(out) // where the place of the next directory goes
	out = appendWord(out, big, 0)
	out = append(out, layoutWords...)
	for i := range f.Levels {
		out = append(out, make([]byte, -len(out)&7)...)
		putWord(out[link:], big, int64(len(out)))
		out, link = appendDirectory(out, big, f.tags(i, big, starts[i]))
	}
	return append(out, make([]byte, -len(out)&7)...)
}

// appendDirectory writes tags, and what of them does not fit into the directory behind
// it. link is where the place of the next directory goes.
func appendDirectory(out []byte, big bool, tags []Tag) (_ []byte, link int) {
	entry, inline := 12, 4
	if big {
		entry, inline = 20, 8
		out = littleEndian.AppendUint64(out, uint64(len(tags)))
	} else {
		out = littleEndian.AppendUint16(out, uint16(len(tags)))
	}
	behind := len(out) + entry*len(tags) + inline
	behind += -behind & 7
	var data []byte
	for _, t := range tags {
		out = littleEndian.AppendUint16(out, t.ID)
		out = littleEndian.AppendUint16(out, t.Type)
		out = appendWord(out, big, int64(len(t.Values)/typeBytes[t.Type]))
		if len(t.Values) <= inline {
			out = append(out, t.Values...)
			out = append(out, make([]byte, inline-len(t.Values))...)
			continue
		}
		out = appendWord(out, big, int64(behind+len(data)))
		data = append(data, t.Values...)
		data = append(data, make([]byte, -len(data)&7)...)
	}
	link = len(out)
	out = appendWord(out, big, 0)
	out = append(out, make([]byte, -len(out)&7)...)
	return append(out, data...), link
}

func appendWord(out []byte, big bool, v int64) []byte {
	if big {
		return littleEndian.AppendUint64(out, uint64(v))
	}
	return littleEndian.AppendUint32(out, uint32(v))
}

func putWord(out []byte, big bool, v int64) {
	if big {
		littleEndian.PutUint64(out, uint64(v))
		return
	}
	littleEndian.PutUint32(out, uint32(v))
}

// tags are those of a level, in rising order.
func (f File) tags(level int, big bool, start int64) []Tag {
	l := &f.Levels[level]
	reduced, cellBits, meaning, format := int64(0), uint16(8), uint16(1), uint16(1)
	if level > 0 {
		reduced = 1
	}
	if f.Floats {
		cellBits, format = 32, 3
	}
	if slices.ContainsFunc(f.Tags, func(t Tag) bool { return t.ID == colourMap }) {
		meaning = 3
	}
	const deflate, floatingPoint = 8, 3
	tags := []Tag{
		longs(254, reduced), longs(256, int64(l.Cols)), longs(257, int64(l.Rows)), shorts(258, cellBits), shorts(259, deflate), shorts(262, meaning),
		shorts(277, 1), shorts(284, 1), longs(322, int64(l.TileCols)), longs(323, int64(l.TileRows)), longs(325, l.Sizes...), shorts(339, format),
	}
	if f.Floats {
		tags = append(tags, shorts(317, floatingPoint))
	}
	offsets := make([]int64, len(l.Sizes))
	for i, size := range l.Sizes {
		offsets[i] = start + leaderBytes
		start += leaderBytes + size + trailerBytes
	}
	if big {
		tags = append(tags, longs8(324, offsets))
	} else {
		tags = append(tags, longs(324, offsets...))
	}
	for _, t := range f.Tags {
		if level == 0 || t.ID == colourMap || t.ID == noData {
			tags = append(tags, t)
		}
	}
	slices.SortFunc(tags, func(a, b Tag) int { return cmp.Compare(a.ID, b.ID) })
	return tags
}
