package setting_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/setting"
)

// A program without flags calls settings by their keys.
func ExampleName() {
	fmt.Println("declare the CRS:", setting.Name("elevation-crs"))
	// Output: declare the CRS: elevation-crs
}
