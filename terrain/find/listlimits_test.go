package find

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// 200 kB of brackets took the parser of a list of services 3.7 GB.
func TestServicesAreHeldToLimitsBeforeTheyAreParsed(t *testing.T) {
	for text, want := range map[string]string{
		strings.Repeat("[", 200<<10):                       "line 1: more than 16 brackets or elements lie inside each other",
		"sources:\n" + strings.Repeat("- ", 100<<10):       "line 2: the file has more than 8192 values and signs",
		"sources: [" + strings.Repeat("[],", 60<<10) + "]": "line 1: the file has more than 8192 values and signs",
	} {
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		_, err := Parse("f.yaml", []byte(text))
		runtime.ReadMemStats(&after)
		assert.EqualError(t, err, "f.yaml: not a list of elevation services: "+want+"; acreband services prints one to start from")
		assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(1<<20))
	}
	file := filepath.Join(t.TempDir(), "large.yaml")
	f, err := os.Create(file)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(4<<30)) // sparse
	require.NoError(t, f.Close())
	_, err = Read(file)
	assert.ErrorContains(t, err, "large.yaml: not a list of elevation services: the file is larger than 512 kB")
	_, err = Read(file + ".none")
	assert.ErrorIs(t, err, os.ErrNotExist)
}
