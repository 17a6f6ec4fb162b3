package fleet_test

import (
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/fleet"
)

// Tokens were counted when the lexer had made them all: 1 MB of brackets took it hundreds.
func TestSignsAreCountedBeforeTheLexer(t *testing.T) {
	text := []byte("machines:\n" + strings.Repeat("[],", 300<<10))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	_, err := fleet.Parse("crew.yaml", text)
	runtime.ReadMemStats(&after)
	assert.EqualError(t, err, "crew.yaml:2: the file has more than 131072 values and signs, far more than a fleet needs; give a fleet file; acreband fleet prints one to start from")
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20))
}
