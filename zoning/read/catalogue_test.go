package read

import (
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// jacksboroTiles cuts the real ground into tiles of 50 × 50 cells in a folder.
func jacksboroTiles(t testing.TB) string {
	t.Helper()
	t.Setenv("XDG_CACHE_HOME", t.TempDir())
	folder := t.TempDir()
	for c := 0; c < jacksboroCols; c += 50 {
		for r := 0; r < jacksboroRows; r += 50 {
			cols, rows := min(50, jacksboroCols-c), min(50, jacksboroRows-r)
			file := translated(t, jacksboro, "tile.tif", "-srcwin", fmt.Sprint(c), fmt.Sprint(r), fmt.Sprint(cols), fmt.Sprint(rows))
			require.NoError(t, os.Rename(file, filepath.Join(folder, fmt.Sprintf("c%03dr%03d.tif", c, r))))
		}
	}
	return folder
}

// A lot on a folder of tiles is read as on the raster they were cut from, the
// index written or not.
func TestPrepareFromAFolder(t *testing.T) {
	folder := jacksboroTiles(t)
	file := boundary(t, twoLots[1])
	want, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: file})
	require.NoError(t, err)
	for range 2 {
		got, err := Prepare(t.Context(), Request{Elevation: []string{folder}, Parcel: file})
		require.NoError(t, err)
		assert.Empty(t, got.Warnings)
		g, w := got.Elevation.Grid, want.Elevation.Grid
		require.Equal(t, [2]int{w.Cols, w.Rows}, [2]int{g.Cols, g.Rows})
		for r := range g.Rows {
			for c := range g.Cols {
				require.Equal(t, w.At(c, r), g.At(c, r))
			}
		}
		assert.Less(t, len(got.Elevation.Sources), 9, "few of the tiles are read")
	}
}

func TestPrepareOffAFolder(t *testing.T) {
	folder := jacksboroTiles(t)
	_, err := Prepare(t.Context(), Request{Elevation: []string{folder}, Parcel: boundary(t, named{"Tarn Hollow", rectangle(-84.3, jacksboroNorth+0.019, -84.29, jacksboroNorth+0.021)})})
	require.Error(t, err)
	assert.ErrorContains(t, err, "lot Tarn Hollow lies at")
	assert.ErrorContains(t, err, "r000.tif) is around 36.4", "the tile that is nearest")
}

// A tile that cannot be read fails the lots on it and no others.
func TestPrepareOnABadTile(t *testing.T) {
	folder := jacksboroTiles(t)
	_, err := Prepare(t.Context(), Request{Elevation: []string{folder}, Parcel: boundary(t, twoLots...)})
	require.NoError(t, err)
	bad := filepath.Join(folder, "c200r100.tif") // under the second lot only
	info, err := os.Stat(bad)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(bad, make([]byte, info.Size()), 0o666))
	require.NoError(t, os.Chtimes(bad, info.ModTime(), info.ModTime()))
	west := jacksboroWest + 200*jacksboroCell
	north := jacksboroNorth - 100*jacksboroCell
	on := named{"on", rectangle(west+20*jacksboroCell, north-30*jacksboroCell, west+25*jacksboroCell, north-25*jacksboroCell)}
	off := named{"off", rectangle(west+70*jacksboroCell, north-30*jacksboroCell, west+75*jacksboroCell, north-25*jacksboroCell)}
	g, err := Prepare(t.Context(), Request{Elevation: []string{folder}, Parcel: boundary(t, on, off)})
	require.NoError(t, err)
	require.Len(t, g.Lots, 1)
	assert.Equal(t, "off", g.Lots[0].Lot)
	require.Len(t, g.Failed, 1)
	assert.ErrorContains(t, g.Failed[0].Err, "c200r100.tif")
}

func TestPrepareFromAServer(t *testing.T) {
	s := httptest.NewServer(http.FileServer(http.Dir(filepath.Dir(jacksboro))))
	defer s.Close()
	file := boundary(t, twoLots[1])
	want, err := Prepare(t.Context(), Request{Elevation: []string{jacksboro}, Parcel: file})
	require.NoError(t, err)
	got, err := Prepare(t.Context(), Request{Elevation: []string{s.URL + "/" + filepath.Base(jacksboro)}, Parcel: file})
	require.NoError(t, err)
	assert.Equal(t, want.Elevation.Grid.Z, got.Elevation.Grid.Z)
	_, err = Prepare(t.Context(), Request{Elevation: []string{s.URL + "/none.tif"}, Parcel: file})
	assert.ErrorContains(t, err, s.URL+"/none.tif")
	assert.ErrorContains(t, err, "404")
}
