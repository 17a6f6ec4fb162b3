package measure_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/measure"
)

func Example() {
	for _, u := range []measure.Units{measure.US, measure.Metric} {
		fmt.Println(u.AreaText(12, 1), u.AtLeast(3.048), u.Length(122))
		fmt.Println(u.Property("track_loader_acres"))
	}
	// Output:
	// 12.0 acres 10 ft 400 ft
	// track_loader_acres 1
	// 4.86 hectares 3.1 m 122 m
	// track_loader_hectares 0.40468564224
}
