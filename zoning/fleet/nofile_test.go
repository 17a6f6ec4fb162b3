package fleet

import (
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each reader of a fleet file lets a program tell a file that is missing from a bad one.
func TestAFleetFileThatIsNotThere(t *testing.T) {
	none := filepath.Join(t.TempDir(), "none.yaml")
	bad := filepath.Join(t.TempDir(), "bad.yaml")
	require.NoError(t, os.WriteFile(bad, []byte("machines: 7"), 0o600))
	for name, read := range map[string]func(string) error{
		"Read":        func(path string) error { _, err := Read(path); return err },
		"ReadFigures": func(path string) error { _, _, err := ReadFigures(path, FigureKeys{}); return err },
	} {
		assert.ErrorIs(t, read(none), fs.ErrNotExist, name)
		assert.ErrorContains(t, read(none), "check the path", name)
		assert.Error(t, read(bad), name)
		assert.NotErrorIs(t, read(bad), fs.ErrNotExist, name)
	}
}
