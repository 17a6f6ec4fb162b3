package raster_test

import (
	"context"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/raster"
)

func ExampleRead() {
	ctx := context.Background()
	catalogue, err := raster.NewCatalogue(ctx, []string{"../../testdata/jacksboro_dem.tif"}, raster.Options{})
	if err != nil {
		panic(err)
	}
	defer catalogue.Close()
	_, middle, _ := catalogue.Nearest(orb.Point{-84, 36})
	box := orb.Bound{Min: middle, Max: orb.Point{middle[0] + 0.002, middle[1] + 0.002}}
	ground := orb.MultiPolygon{box.ToPolygon()}
	rasters, err := catalogue.Around(ctx, ground)
	if err != nil {
		panic(err)
	}
	elevation, err := raster.Read(ctx, rasters, ground)
	if err != nil {
		panic(err)
	}
	source := elevation.Sources[0]
	low, high := elevation.Grid.HeightsM()
	fmt.Printf("heights in %s (%s), from %.0f to %.0f m, on %d × %d cells\n", source.Unit, source.UnitFrom, low, high, elevation.Grid.Cols, elevation.Grid.Rows)
	// Output:
	// heights in m (assumed), from 411 to 640 m, on 9 × 10 cells
}
