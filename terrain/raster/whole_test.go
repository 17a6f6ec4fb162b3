package raster

import (
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// partsOf writes a raster's pieces but those that are left out, and returns the cells as
// they should be read again.
func partsOf[T cell](t *testing.T, dir string, p Parting, cells []T, left ...int) (pieces []Piece, want []T) {
	t.Helper()
	n := 0
	var kept packing[T]
	want = append(want, cells...)
	for row := 0; row < p.Rows; row += p.PieceRows {
		for col := 0; col < p.Cols; col += p.PieceCols {
			at := terrain.NewWindow(col, row, col+p.PieceCols, row+p.PieceRows).In(terrain.Window{Col1: p.Cols, Row1: p.Rows})
			var part []T
			for r := at.Row0; r < at.Row1; r++ {
				part = append(part, cells[r*p.Cols+at.Col0:r*p.Cols+at.Col1]...)
			}
			if n++; contains(left, n-1) {
				for r := at.Row0; r < at.Row1; r++ {
					for c := at.Col0; c < at.Col1; c++ {
						want[r*p.Cols+c] = noCell[T]()
					}
				}
				continue
			}
			path := filepath.Join(dir, string(rune('a'+n)))
			require.NoError(t, new(packing[T]).writePiece(path, p, at, []string{"one", "two"}, part))
			alone := must(os.ReadFile(path))
			require.NoError(t, kept.writePiece(path, p, at, []string{"one", "two"}, part))
			require.Equal(t, alone, must(os.ReadFile(path)), "what was packed before leaves no trace")
			said, err := RemarksOf(path)
			require.NoError(t, err)
			require.Equal(t, []string{"one", "two"}, said)
			pieces = append(pieces, Piece{path, at})
		}
	}
	return pieces, want
}

func contains(all []int, n int) bool {
	for _, k := range all {
		if k == n {
			return true
		}
	}
	return false
}

// bandOf opens a band with GDAL, which is the reader of what is written.
func bandOf(t *testing.T, path string) (godal.Band, *godal.Dataset) {
	t.Helper()
	ds, err := godal.Open(path, godal.RasterOnly(), godal.SiblingFiles())
	require.NoError(t, err)
	t.Cleanup(func() { _ = ds.Close() })
	return ds.Bands()[0], ds
}

// GDAL reads what was put together from pieces, one of them missing, cell by cell, and in
// each overview every nth cell of it; and it is cloud-optimised, by GDAL's own check.
func TestWholeOfPieces(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for name, p := range map[string]Parting{"wide": {2300, 700, 1152, 256}, "narrow": {300, 1500, 512, 512}, "one piece": {90, 70, 4096, 1024}, "small pieces": {1300, 40, 64, 64}} {
		for _, left := range [][]int{nil, {1}} {
			t.Run(name, func(t *testing.T) {
				dir := t.TempDir()
				values := make([]float32, p.Cols*p.Rows)
				classes := make([]uint8, len(values))
				for i := range values {
					values[i] = float32(r.IntN(6400)) / 64
					classes[i] = uint8(i / 90 % 3)
					if r.IntN(50) == 0 {
						values[i], classes[i] = float32(math.NaN()), NoClass
					}
				}
				h := header(t, p.Cols, p.Rows)
				pieces, want := partsOf(t, t.TempDir(), p, values, left...)
				path := filepath.Join(dir, "values.tif")
				require.NoError(t, WriteWhole(path, h, p, pieces, nil))
				checkWhole(t, path, h, p, want)
				validate(t, path)

				cpieces, cwant := partsOf(t, t.TempDir(), p, classes, left...)
				path = filepath.Join(dir, "classes.tif")
				require.NoError(t, WriteWhole(path, h, p, cpieces, threeClasses))
				checkWhole(t, path, h, p, cwant)
				validate(t, path)
				band, _ := bandOf(t, path)
				assert.Equal(t, godal.CIPalette, band.ColorInterp())
				assert.Equal(t, threeClasses[2].Name, band.Metadata("CLASS_2"))
				got := band.ColorTable().Entries[2]
				k := threeClasses[2].Colour
				assert.Equal(t, [4]int16{int16(k.R), int16(k.G), int16(k.B), 255}, got)
				assert.ErrorContains(t, WriteWhole(path, h, p, pieces, threeClasses), "a piece of another raster")
			})
		}
	}
}

func checkWhole[T cell](t *testing.T, path string, h Header, p Parting, want []T) {
	t.Helper()
	band, ds := bandOf(t, path)
	grid, err := ds.GeoTransform()
	require.NoError(t, err)
	assert.Equal(t, h.Place.Grid, grid)
	assert.Equal(t, h.Words, band.Description())
	nodata, ok := band.NoData()
	assert.True(t, ok)
	if isFloat[T]() {
		assert.True(t, math.IsNaN(nodata))
	} else {
		assert.EqualValues(t, NoClass, nodata)
	}
	factors := newLayout[T](p).factors
	overviews := band.Overviews()
	require.Len(t, overviews, len(factors))
	for i, b := range append([]godal.Band{band}, overviews...) {
		factor := 1
		if i > 0 {
			factor = factors[i-1]
		}
		at := reduced(terrain.Window{Col1: p.Cols, Row1: p.Rows}, factor)
		st := b.Structure()
		require.Equal(t, [2]int{at.Cols(), at.Rows()}, [2]int{st.SizeX, st.SizeY})
		got := make([]T, st.SizeX*st.SizeY)
		require.NoError(t, b.Read(0, 0, got, st.SizeX, st.SizeY))
		for k, v := range got {
			w := want[k/at.Cols()*factor*p.Cols+k%at.Cols()*factor]
			if v != w && (v == v || w == w) {
				t.Fatalf("%s, one of %d cells: cell %d is %v, not %v", path, factor, k, v, w)
			}
		}
	}
}

// A piece that was cut short or changed is an error that names it, never cells.
func TestADamagedPieceIsAnError(t *testing.T) {
	p := Parting{300, 200, 512, 256}
	pieces, _ := partsOf(t, t.TempDir(), p, someValues(p.Cols*p.Rows))
	path := pieces[0].Path
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	out := filepath.Join(t.TempDir(), "out.tif")
	require.NoError(t, WriteWhole(out, header(t, 300, 200), p, pieces, nil))
	for _, n := range []int{0, 10, len(text) / 2, len(text) - 1} {
		require.NoError(t, os.WriteFile(path, text[:n], 0o666))
		require.ErrorContains(t, WriteWhole(out, header(t, 300, 200), p, pieces, nil), path+": it is no piece, or was cut short or damaged")
		_, err := RemarksOf(path)
		require.Error(t, err)
	}
	for _, at := range []int{2, len(text) / 3, len(text) - 60} {
		changed := append([]byte(nil), text...)
		changed[at] ^= 4
		require.NoError(t, os.WriteFile(path, changed, 0o666))
		require.ErrorContains(t, WriteWhole(out, header(t, 300, 200), p, pieces, nil), "cut short or damaged", at)
	}
}

// So is one whose cells of an overview were changed, which no tile's sum tells of.
func TestADamagedOverviewOfAPieceIsAnError(t *testing.T) {
	p := Parting{1300, 40, 64, 64}
	pieces, _ := partsOf(t, t.TempDir(), p, someValues(p.Cols*p.Rows))
	path := pieces[3].Path
	f, foot, err := openPiece(path)
	require.NoError(t, err)
	require.NoError(t, f.Close())
	text := must(os.ReadFile(path))
	n := reducedBytes[float32](foot.At, newLayout[float32](p).factors)
	require.Equal(t, int64(4*(16*10)), n)
	for _, at := range []int64{0, n / 2, n - 1} {
		changed := append([]byte(nil), text...)
		changed[foot.tileBytes()+at] ^= 4
		require.NoError(t, os.WriteFile(path, changed, 0o666))
		require.ErrorContains(t, WriteWhole(filepath.Join(t.TempDir(), "out.tif"), header(t, p.Cols, p.Rows), p, pieces, nil), path+": it is no piece, or was cut short or damaged", at)
	}
}
