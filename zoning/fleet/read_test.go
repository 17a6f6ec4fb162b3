package fleet_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

func TestRead(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.yaml")
	require.NoError(t, os.WriteFile(path, fleet.DefaultYAML(), 0o600))
	machines, err := fleet.Read(path)
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), machines)
}

func TestReadNamesFileAndLine(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.yaml")
	text := strings.Replace(string(fleet.DefaultYAML()), "limit: 30%", "limit: 30", 1)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	_, err := fleet.Read(path)
	at := 1 + strings.Count(text[:strings.Index(text, "limit: 30")], "\n")
	var e *fleet.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, path, e.File)
	assert.Equal(t, at, e.Line)
}

func TestReadMissingFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "none.yaml")
	_, err := fleet.Read(path)
	assert.EqualError(t, err, path+": there is no such fleet file; "+
		"check the path; acreband fleet prints a file to start from")
	assert.ErrorIs(t, err, fs.ErrNotExist)
}

func TestReadFolder(t *testing.T) {
	path := t.TempDir()
	_, err := fleet.Read(path)
	assert.EqualError(t, err, path+": this is a folder, not a fleet file; give the path of the YAML file in it")
}

func TestReadThroughAFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "fleet.yaml")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	inside := filepath.Join(path, "fleet.yaml")
	_, err := fleet.Read(inside)
	var e *fleet.Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, inside, e.File)
	assert.Contains(t, e.Problem, "the fleet file cannot be read: ")
}

// A file far too big is read to the size limit and no further.
func TestReadStopsAtTheSizeLimit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "big.yaml")
	f, err := os.Create(path)
	require.NoError(t, err)
	require.NoError(t, f.Truncate(1<<30), "sparse: takes no room")
	require.NoError(t, f.Close())
	_, err = fleet.Read(path)
	assert.EqualError(t, err, path+":1: the file has more than 1048576 bytes, far more than a fleet needs; "+
		"give a fleet file; acreband fleet prints one to start from")
}
