package textfile_test

import (
	"errors"
	"fmt"
	"strings"

	"github.com/acreband/acreband/terrain/textfile"
)

// A stranger's text is looked at before a parser is.
func ExampleLimits_JSON() {
	limits := textfile.Limits{Depth: 10}
	fmt.Println(limits.JSON([]byte(`{"type": "Point", "coordinates": [1, 2]}`)))
	var much *textfile.TooMuch
	err := limits.JSON([]byte("{\"a\":\n" + strings.Repeat("[", 1000)))
	fmt.Println(errors.As(err, &much), much.Line)
	// Output:
	// <nil>
	// true 2
}
