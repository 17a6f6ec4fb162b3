package fleet

import (
	_ "embed"

	"github.com/acreband/acreband/zoning"
)

//go:embed default.yaml
var defaultYAML string

// DefaultYAML returns the built-in fleet file: every key explained, ready to
// edit.
func DefaultYAML() []byte { return []byte(defaultYAML) }

// Default returns the built-in fleet: a track loader, a dedicated carrier, a
// boom-mounted head and a remote crawler at planning limits, none with a rated
// maximum or with tethered work allowed. The slice is the caller's own.
func Default() zoning.Fleet {
	machines, err := Parse("the built-in fleet", DefaultYAML())
	if err != nil {
		panic(err) // the file is compiled in; its test reads it
	}
	return machines
}
