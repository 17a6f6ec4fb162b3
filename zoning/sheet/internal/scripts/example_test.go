package scripts_test

import (
	"fmt"

	"github.com/acreband/acreband/zoning/sheet/internal/scripts"
)

func ExampleSet() {
	ascii := func(r rune) bool { return r >= ' ' && r < 0x7F }
	for _, r := range scripts.Set("lot 松林, 3.4 acres", ascii) {
		if r.Plain {
			fmt.Printf("%q in the caller's font\n", r.Words)
			continue
		}
		fmt.Printf("%q of %d glyphs, %.1f times its size wide\n", r.Words, len(r.Glyphs()), r.Width)
	}
	// Output:
	// "lot " in the caller's font
	// "松林" of 2 glyphs, 2.0 times its size wide
	// ", 3.4 acres" in the caller's font
}
