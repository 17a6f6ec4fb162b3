package raster

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// What killed programs left of an index stayed for ever; what another is writing is let be.
func TestPartsOfAnIndexAreCleared(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "index")
	old, fresh := path+".123.part", path+".456.part"
	for _, part := range []string{old, fresh} {
		require.NoError(t, os.WriteFile(part, nil, 0o666))
	}
	require.NoError(t, os.Chtimes(old, time.Time{}, time.Now().Add(-2*partAge)))
	require.NoError(t, writeAtomically(path, []byte("index")))
	left, err := filepath.Glob(path + "*")
	require.NoError(t, err)
	require.Equal(t, []string{path, fresh}, left)
}
