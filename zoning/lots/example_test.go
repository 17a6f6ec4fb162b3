package lots_test

import (
	"fmt"

	"github.com/acreband/acreband/zoning/lots"
)

// What a run is to write, as people name it.
func ExampleOutputsNamed() {
	_, err := lots.OutputsNamed([]string{"lots.csv", "zones.geojson"})
	fmt.Println(err)
	_, err = lots.OutputsNamed([]string{"lots.xls"})
	fmt.Println(err)
	// Output:
	// <nil>
	// "lots.xls" is no output; those are lots.csv, zones.geojson, zones.gpkg, failed.csv, plan.csv and sheet.html
}
