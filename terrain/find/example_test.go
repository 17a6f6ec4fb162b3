package find_test

import (
	"fmt"

	"github.com/acreband/acreband/terrain/find"
)

func ExampleNamed() {
	s, ok := find.Named(find.BuiltIn(), "us-1m")
	fmt.Println(ok, s.Kind, s.CellM(), s.Searched())
	// Output: true tnm 1 true
}
