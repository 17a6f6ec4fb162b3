package geotiff_test

import (
	"bytes"
	"fmt"

	"github.com/acreband/acreband/terrain/raster/geotiff"
)

// A raster of one tile.
func Example() {
	cells := make([]uint8, 512*512)
	var p geotiff.Packer
	packed, err := p.Bytes(cells)
	if err != nil {
		fmt.Println(err)
		return
	}
	f := geotiff.File{Levels: []geotiff.Level{{
		Cols: 300, Rows: 200, TileCols: 512, TileRows: 512,
		Sizes: []int64{int64(len(packed))},
		Tile:  func(int) ([]byte, error) { return packed, nil },
	}}}
	var out bytes.Buffer
	if err = f.Write(&out); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%d × %d cells in one tile of %s\n", f.Levels[0].Cols, f.Levels[0].Rows, out.Bytes()[:2])
	// Output: 300 × 200 cells in one tile of II
}
