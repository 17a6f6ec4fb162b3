package mapping_test

import (
	"context"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// The invented raster: 2 m cells of Web Mercator (EPSG:3857) somewhere in Tennessee.
const (
	cols, rows  = 150, 120
	cellM       = 2.0
	westM       = -9389000.0
	northM      = 4356000.0
	earthM      = 6378137.0
	radToDegree = 180 / math.Pi
)

// mercator gives the longitude and latitude of the raster's cells. Any function will do:
// cell (0, 0) has its middle at (0.5, 0.5).
func mercator(cells [][2]float64) ([][2]float64, error) {
	lonLat := make([][2]float64, len(cells))
	for i, c := range cells {
		x, y := westM+c[0]*cellM, northM-c[1]*cellM
		lonLat[i] = [2]float64{x / earthM * radToDegree, math.Atan(math.Sinh(y/earthM)) * radToDegree}
	}
	return lonLat, nil
}

// elevation rises eastward by 3%, from the middle on by 11% and in the east by 35% of the
// raster's own meters. At 36.4° N one of them is 0.80 m of ground, and slopes are steeper.
func elevation() (*terrain.Elevation, error) {
	heights := make([]float32, 0, cols*rows) // meters, row-major from the north-west
	for i := range cols * rows {
		x := cellM * (float64(i%cols) + 0.5)
		heights = append(heights, float32(0.03*x+0.08*max(x-100, 0)+0.24*max(x-200, 0)))
	}
	step, err := terrain.ChooseStep(cols, rows, mercator)
	if err != nil {
		return nil, err
	}
	frame, err := terrain.NewFrame(step, 0, 0, cols, rows, mercator)
	if err != nil {
		return nil, err
	}
	w, h := frame.MetricAt(cols/2, rows/2).CellM()
	return &terrain.Elevation{
		Grid:    &terrain.Grid{Z: heights, Cols: cols, Rows: rows, Stride: cols, Frame: frame},
		Sources: []terrain.Source{{Path: "invented ground", CellM: [2]float64{w, h}}},
	}, nil
}

// The whole line without a file and without GDAL: heights with a place, a lot and a
// building beside it come in as values, acres and words come out.
func ExampleMap() {
	e, err := elevation()
	if err != nil {
		fmt.Println(err)
		return
	}
	at := func(col, row float64) orb.Point {
		lon, lat := e.Grid.Frame.LonLat(col, row)
		return orb.Point{lon, lat}
	}
	ring := orb.Ring{at(10, 110), at(140, 110), at(140, 10), at(10, 10), at(10, 110)}
	lots := []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{ring}}}}}
	barn := site.Feature{Kind: site.Building, Name: "Barn", Geometry: at(5, 60)}
	ground, err := mapping.NewGround(e, lots, []site.Feature{barn})
	if err != nil {
		fmt.Println(err)
		return
	}
	m, err := mapping.Map(context.Background(), ground, fleet.Default(), mapping.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, z := range m.Lots[0].Zones {
		fmt.Printf("%-14s %6.3f acres, mean slope %.0f%%\n", m.Fleet.Bands()[z.Band].Key, z.Acres, z.SlopeMeanPct)
	}
	fmt.Printf("%-14s %6.3f acres\n", "the lot", m.Lots[0].Acres)
	for _, h := range m.Hazards {
		fmt.Println(h.Words)
	}
	why, err := ground.Why(m, at(75, 60))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(why[0])
	// Output:
	// track-loader    5.749 acres, mean slope 9%
	// remote-crawler  2.556 acres, mean slope 43%
	// no-machine      0.003 acres, mean slope 24%
	// the lot         8.308 acres
	// Barn (building): 2.76 acres of the track loader's lie within the thrown-object distance of it
	// 36.4006 N, 84.3415 W: slope 13.7%; Track loader
}
