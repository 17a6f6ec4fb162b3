package read

import (
	"io/fs"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What was missing was told in words only, so that no program could tell it from what is damaged.
func TestAFileThatIsNotThere(t *testing.T) {
	none := filepath.Join(t.TempDir(), "none.kml")
	_, err := Read(t.Context(), none, Options{})
	assert.ErrorIs(t, err, fs.ErrNotExist)
	assert.EqualError(t, err, none+": there is no such file")
	_, err = ReadSite(t.Context(), none, SiteOptions{})
	assert.ErrorIs(t, err, fs.ErrNotExist)
	_, err = SiteFiles{Travel: []string{none}}.ReadDrawn(t.Context())
	assert.ErrorIs(t, err, fs.ErrNotExist)
}
