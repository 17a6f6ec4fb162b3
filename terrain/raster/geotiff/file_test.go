package geotiff

import (
	"bytes"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sample is a raster of 1100 × 600 bytes with one overview, and its cells.
func sample(t *testing.T) (f File, cells []byte) {
	t.Helper()
	var p Packer
	for _, factor := range []int{1, 2} {
		l := Level{Cols: 1100 / factor, Rows: 600 / factor, TileCols: 512, TileRows: 512}
		var tiles [][]byte
		for row := 0; row < l.Rows; row += 512 {
			for col := 0; col < l.Cols; col += 512 {
				tile := make([]byte, 512*512)
				for i := range tile {
					tile[i] = byte((col + i%512) * (row + i/512) >> 7)
				}
				tiles = append(tiles, bytes.Clone(packed(t, &p, tile)))
				l.Sizes = append(l.Sizes, int64(len(tiles[len(tiles)-1])))
			}
		}
		l.Tile = func(i int) ([]byte, error) { return tiles[i], nil }
		f.Levels = append(f.Levels, l)
	}
	for row := range 600 {
		for col := range 1100 {
			cells = append(cells, byte(col*row>>7))
		}
	}
	return f, cells
}

// Beyond 4 GB offsets take 8 bytes: GDAL's own program reads the cells of both kinds of file.
func TestClassicAndBig(t *testing.T) {
	translate, err := exec.LookPath("gdal_translate")
	if err != nil {
		t.Skip("gdal_translate is not installed")
	}
	f, want := sample(t)
	was := mostClassic
	defer func() { mostClassic = was }()
	for version, most := range map[byte]int64{42: was, 43: 1000} {
		mostClassic = most
		var out bytes.Buffer
		require.NoError(t, f.Write(&out))
		require.Equal(t, version, out.Bytes()[2])
		path := filepath.Join(t.TempDir(), "a.tif")
		require.NoError(t, os.WriteFile(path, out.Bytes(), 0o666))
		raw := filepath.Join(t.TempDir(), "a.bin")
		said, err := exec.Command(translate, "-q", "-of", "ENVI", path, raw).CombinedOutput()
		require.NoError(t, err, string(said))
		got, err := os.ReadFile(raw)
		require.NoError(t, err)
		require.True(t, bytes.Equal(want, got))
	}
}

func TestFilesThatCannotBe(t *testing.T) {
	var out bytes.Buffer
	assert.ErrorContains(t, File{}.Write(&out), "no cells")
	f, _ := sample(t)
	f.Levels[0].Sizes = f.Levels[0].Sizes[1:]
	assert.ErrorContains(t, f.Write(&out), "5 sizes for 6 tiles")
	f, _ = sample(t)
	f.Levels[1].TileCols = 500
	assert.ErrorContains(t, f.Write(&out), "level 1 of the GeoTIFF: 550 × 300 cells in tiles of 500 × 512; tiles take multiples of 16")
	assert.Zero(t, out.Len())
	f, _ = sample(t)
	f.Levels[0].Tile = func(int) ([]byte, error) { return nil, errors.New("gone") }
	assert.ErrorContains(t, f.Write(&out), "gone")
	f.Levels[0].Tile = func(int) ([]byte, error) { return []byte{1}, nil }
	assert.ErrorContains(t, f.Write(&out), "tile 0 takes 1 bytes where")
}

// Tags are taken from a file as it was written, and a file cut short anywhere is an error or
// has tags, never a panic.
func TestTags(t *testing.T) {
	f, _ := sample(t)
	place := Tag{ID: 33550, Type: 12, Values: make([]byte, 24)}
	place.Values[7] = 0x40
	f.Tags = []Tag{place, {ID: noData, Type: 2, Values: []byte("255\x00")}}
	var out bytes.Buffer
	require.NoError(t, f.Write(&out))
	got, err := TagsOf(out.Bytes())
	require.NoError(t, err)
	assert.Equal(t, f.Tags, got)
	for n := range 900 {
		_, _ = TagsOf(out.Bytes()[:n])
	}
	_, err = TagsOf([]byte("II*\x00\xff\xff\xff\xff"))
	assert.ErrorContains(t, err, "the TIFF ends before byte")
	_, err = TagsOf([]byte("MM\x00*12345"))
	assert.ErrorContains(t, err, "no little-endian TIFF")
}

// FuzzTags: a file is tags or an error, never a panic.
func FuzzTags(f *testing.F) {
	f.Add([]byte("II*\x00\x08\x00\x00\x00\x01\x00\x40\x01\x03\x00\x01\x00\x00\x00\x07\x00\x00\x00"))
	f.Add([]byte("II*\x00\x08\x00\x00\x00\x01\x00\x40\x01\x0c\x00\xff\xff\xff\xff\x07\x00\x00\x00"))
	f.Fuzz(func(t *testing.T, text []byte) {
		tags, err := TagsOf(text)
		for _, k := range tags {
			if err == nil && len(k.Values) > len(text) {
				t.Fatalf("%d bytes of values in a file of %d", len(k.Values), len(text))
			}
		}
	})
}
