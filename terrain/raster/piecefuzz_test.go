package raster

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/acreband/acreband/terrain"
)

// FuzzPiece: whatever a file holds that lies where a piece should, it is an error or a
// whole raster, never a panic.
func FuzzPiece(f *testing.F) {
	p := Parting{40, 30, 64, 64}
	at := terrain.Window{Col1: 40, Row1: 30}
	dir := f.TempDir()
	path := filepath.Join(dir, "piece")
	if err := new(PieceWriter).Classes(path, p, at, []string{"a remark"}, make([]uint8, 40*30)); err != nil {
		f.Fatal(err)
	}
	text, err := os.ReadFile(path)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(text)
	f.Add(text[:len(text)-1])
	f.Add([]byte(pieceMark))
	h := Header{Place: terrain.Georeference{CRS: "EPSG:32617", Grid: [6]float64{0, 1, 0, 0, 0, -1}}}
	f.Fuzz(func(t *testing.T, text []byte) {
		path := filepath.Join(t.TempDir(), "piece")
		if err := os.WriteFile(path, text, 0o666); err != nil {
			t.Fatal(err)
		}
		_, _ = RemarksOf(path)
		_ = WriteWhole(filepath.Join(t.TempDir(), "a.tif"), h, p, []Piece{{path, at}}, []Class{{Name: "one"}})
	})
}
