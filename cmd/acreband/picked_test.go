package main

import (
	"errors"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What shows field checks waits for them and tells their error; names of files are the same
// with and without.
func TestFilesWaitForTheirChecks(t *testing.T) {
	none := errors.New("no checks")
	r := results{sheetFlags: &sheetFlags{}}
	waiting := map[string]bool{}
	for _, w := range writers {
		asked := 0
		files := w.filesOf(r, func() (results, error) { asked++; return r, none })
		for i, f := range w.files(r) {
			assert.Equal(t, f.name, files[i].name)
		}
		assert.Zero(t, asked, "%s: before anything is written", w.word)
		if needsChecks([]writer{w}) {
			for _, f := range files {
				assert.ErrorIs(t, f.write(io.Discard), none, f.name)
			}
			assert.Equal(t, len(files), asked, w.word)
			waiting[w.word] = true
		}
	}
	assert.Equal(t, map[string]bool{"sheet": true, "pdf": true, "map": true, "kml": true, "kmz": true, "gpx": true, "gpkg": true}, waiting)
}
