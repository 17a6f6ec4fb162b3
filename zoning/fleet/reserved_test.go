package fleet_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/fleet"
)

// Keys that maps use for ground of no machine are reserved, each of them.
func TestKeysOfMapsAreReserved(t *testing.T) {
	for _, key := range []string{"needs-machine", "waits-dry", "no-machine", "no-data", "no-go"} {
		_, err := fleet.Parse("f", []byte("machines: [{key: "+key+", name: A, limit: 40%}]\n"))
		assert.ErrorContains(t, err, `f:1: key "`+key+`" is reserved: maps use it for ground that no machine is given; choose another key`)
	}
}

// A machine that cannot be used is told where figures are asked for too.
func TestFiguresOfAFileWhoseMachinesAreRefused(t *testing.T) {
	machines, sections, err := fleet.ParseFigures("f", []byte("machines:\n- {key: goat, name: Goats, limit: 400%}\n"), figureKeys)
	assert.ErrorContains(t, err, "f:2: ")
	assert.Nil(t, machines)
	assert.Nil(t, sections)
}

// A list of figures begins on the line of its first key, though the colon stands below.
func TestAMapBeginsAtItsFirstKey(t *testing.T) {
	_, err := fleet.Parse("f", []byte("machines:\n- ? name\n  : Goats\n"))
	assert.ErrorContains(t, err, "f:2: ")
}
