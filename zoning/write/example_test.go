package write_test

import (
	"fmt"
	"os"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/write"
)

// lotSeven is a zone map of one lot with one zone, as [zoning.MapLot] makes them.
func lotSeven() *zoning.ZoneMap {
	ground := orb.MultiPolygon{{{{-84.25, 36.33}, {-84.249, 36.33}, {-84.249, 36.331}, {-84.25, 36.331}, {-84.25, 36.33}}}}
	acres := coverage.Acres(ground)
	return &zoning.ZoneMap{
		Fleet: []zoning.Machine{{Key: "loader", Name: "Loader", LimitPct: 30}},
		Lots: []zoning.LotMap{{Lot: "7", Acres: acres, Zones: []zoning.Zone{
			{Ground: ground, Acres: acres, SurfaceAcres: 1.01 * acres, SlopeMeanPct: 14, SlopeMaxPct: 22.5, SureAcres: acres},
		}}},
		Cautions: zoning.Cautions(measure.US),
	}
}

// Two files that appear together, once both are whole.
func ExampleBegin() {
	dir, err := os.MkdirTemp("", "job")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	files, err := write.Begin(dir)
	if err != nil {
		fmt.Println(err)
		return
	}
	defer files.Discard() // does nothing after Commit

	zones, err := files.Create("zones.geojson")
	if err != nil {
		fmt.Println(err)
		return
	}
	table, err := files.Create("zones.csv")
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, err := range []error{write.GeoJSON(zones, lotSeven()), zones.Close(), write.ZonesCSV(table, lotSeven()), table.Close()} {
		if err != nil {
			fmt.Println(err)
			return
		}
	}
	if err := files.Commit(); err != nil {
		fmt.Println(err)
		return
	}
	made, err := os.ReadDir(dir)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range made {
		fmt.Println(f.Name())
	}
	// Output:
	// zones.csv
	// zones.geojson
}
