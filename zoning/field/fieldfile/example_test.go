package fieldfile_test

import (
	"errors"
	"fmt"

	"github.com/acreband/acreband/zoning/field/fieldfile"
)

func ExampleTable() {
	rows, err := fieldfile.Table("readings.csv", []byte("id,slope\nS01, 32%\nS02,18deg\n"), []string{"id", "slope", "note"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, r := range rows {
		fmt.Println(r.Line, r.Get("id"), r.Get("slope"))
	}
	// Output:
	// 2 S01 32%
	// 3 S02 18deg
}

func ExampleReadGPX() {
	_, _, err := fieldfile.ReadGPX("phone.gpx", []byte("<gpx>\n<wpt lat=\"136.4\" lon=\"-84.3\"/>\n</gpx>"))
	var refused *fieldfile.Error
	if errors.As(err, &refused) {
		fmt.Println("line", refused.Line)
		fmt.Println(refused.Problem)
		fmt.Println(refused.Cure)
	}
	// Output:
	// line 2
	// lat 136.4, lon -84.3 is no spot on earth
	// give degrees, latitude within 90 and longitude within 180
}
