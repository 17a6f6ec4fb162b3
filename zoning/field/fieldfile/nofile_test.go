package fieldfile

import (
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A field file that is missing is told from one that cannot be read.
func TestAFieldFileThatIsNotThere(t *testing.T) {
	for _, name := range []string{"none.csv", "none.gpx", "none.geojson", "none/none.csv"} {
		none := filepath.Join(t.TempDir(), name)
		_, err := Read(none)
		assert.ErrorIs(t, err, fs.ErrNotExist, name)
		assert.ErrorContains(t, err, none+": the file cannot be read", name)
		assert.ErrorContains(t, err, "check the path", name)
	}
	_, err := Read(t.TempDir())
	assert.Error(t, err)
	assert.NotErrorIs(t, err, fs.ErrNotExist, "a folder is there")
}
