package measure_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
)

// The same figures, for one person and the next.
func ExampleUnits() {
	for _, u := range []measure.Units{measure.US, measure.Metric} {
		fmt.Println(u.AreaText(12, 1)+",", "keep", u.AtLeast(3.048), "clear")
	}
	// Output:
	// 12.0 acres, keep 10 ft clear
	// 4.9 hectares, keep 3.1 m clear
}
