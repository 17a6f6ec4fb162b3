package site_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/site"
)

// BenchmarkLay lays 300 features on 400 000 cells of 1 m.
func BenchmarkLay(b *testing.B) {
	g := field(b, 640, 625, 1, 0.1)
	rnd := rand.New(rand.NewPCG(1, 2))
	var features []site.Feature
	for i := range 300 {
		x, y := 640*rnd.Float64(), 625*rnd.Float64()
		f := site.Feature{Kind: site.LeaveTree, Geometry: at(g, x, y)}
		switch {
		case i < 5:
			var stream orb.LineString
			for k := range 200 {
				stream = append(stream, at(g, x+20*math.Sin(float64(k)/9), 3*float64(k)))
			}
			f = site.Feature{Kind: site.NoGo, Geometry: stream, Setback: site.Setback{WidthM: 15}}
		case i < 60:
			f = site.Feature{Kind: site.Building, Geometry: orb.Polygon{ring(g, x, y, x+12, y, x+12, y+9, x, y+9)}, Setback: site.Setback{WidthM: 6}}
		case i < 65:
			f = site.Feature{Kind: site.Cover, Geometry: orb.Polygon{ring(g, x, y, x+200, y, x+150, y+200)}, Class: site.Light, StemM: 0.1}
		}
		features = append(features, f)
	}
	b.ReportMetric(float64(len(features)), "features")
	for b.Loop() {
		must(site.Lay(features, g))
	}
}

func ExampleLay() {
	heights := make([]float32, 6*3)
	grid, err := terrain.NewGrid(heights, 6, 3, 10, 10)
	if err != nil {
		fmt.Println(err)
		return
	}
	lon, lat := grid.Frame.LonLat(3.5, 1.5)
	pond := site.Feature{Kind: site.NoGo, Geometry: orb.Point{lon, lat}, Setback: site.Setback{WidthM: 10}}
	ground, err := site.Lay([]site.Feature{pond}, grid)
	if err != nil {
		fmt.Println(err)
		return
	}
	for row := range 3 {
		fmt.Println(ground.Setback[6*row : 6*row+6])
	}
	// Output:
	// [false false false true false false]
	// [false false true true true false]
	// [false false false true false false]
}
