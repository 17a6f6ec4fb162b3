package palette_test

import (
	"fmt"

	"github.com/acreband/acreband/zoning/palette"
)

// The bands of a fleet of two machines, as another program is told to draw them.
func ExampleFlat() {
	for band, name := range []string{"first machine", "second machine", "needs another", "waits for dry", "no machine", "unknown", "no-go"} {
		fill, _ := palette.Flat(band, 2)
		fmt.Printf("%-14s #%02X%02X%02X\n", name, fill.R, fill.G, fill.B)
	}
	// Output:
	// first machine  #56B4E9
	// second machine #E69F00
	// needs another  #D2B48C
	// waits for dry  #8FD3CB
	// no machine     #A0A0A0
	// unknown        #FFFFFF
	// no-go          #4A4A4A
}
