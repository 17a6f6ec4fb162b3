package lots_test

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/acreband/acreband/zoning/lots"
)

// Outputs are asked for by the names of their files.
func ExampleOutputsNamed() {
	o, err := lots.OutputsNamed([]string{"lots.csv", "zones.gpkg"})
	fmt.Println(o.Table, o.Package, o.Zones, err)
	_, err = lots.OutputsNamed([]string{"lots.xls"})
	fmt.Println(err)
	// Output:
	// true true false <nil>
	// "lots.xls" is no output; those are lots.csv, zones.geojson, zones.gpkg, failed.csv, plan.csv and sheet.html
}

// Parts that other machines were to make, and none of which is there yet.
func ExampleMerge() {
	dir, err := os.MkdirTemp("", "county")
	if err != nil {
		fmt.Println(err)
		return
	}
	defer os.RemoveAll(dir)
	_, err = lots.Merge(context.Background(), dir, []string{dir}, lots.Outputs{Table: true}, nil)
	fmt.Println(errors.Is(err, lots.ErrParts))
	// Output:
	// true
}
