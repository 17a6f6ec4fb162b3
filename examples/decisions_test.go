// Package examples holds no program: its page tells of three jobs in the folders below.
package examples

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What README.md quotes of the screen, and the decisions it tells, are the program's.
func TestDecisions(t *testing.T) {
	if testing.Short() {
		t.Skip("it builds the command")
	}
	bin := filepath.Join(t.TempDir(), "acreband")
	built, err := exec.Command("go", "build", "-o", bin, "../cmd/acreband").CombinedOutput()
	require.NoError(t, err, string(built))
	said := func(folder string, more ...string) string {
		in := func(name string) string { return filepath.Join(folder, name) }
		args := append([]string{"map", "--elevation", in("elevation.tif"), "--parcel", in("boundary.geojson"), "--site", in("site.geojson"),
			"--staging", in("staging.geojson"), "--travel", in("travel.geojson"), "--cover", "medium", "--write", "geojson", "--out", t.TempDir()}, more...)
		out, err := exec.Command(bin, args...).CombinedOutput()
		require.NoError(t, err, string(out))
		return string(out)
	}
	page, err := os.ReadFile("README.md")
	require.NoError(t, err)
	quoted := regexp.MustCompile(`(?m)^    (BRING .*)$`).FindAllStringSubmatch(string(page), -1)
	require.Len(t, quoted, 2)
	creek, site := said("creek"), said("site")
	assert.Contains(t, creek, quoted[0][1])
	assert.Contains(t, creek, "3.0 wait for dry ground")
	assert.Contains(t, creek, "with 30,000 lb posted")
	assert.Contains(t, site, quoted[1][1])
	assert.Regexp(t, `clears\s+less than half`, site)
	assert.Contains(t, site, "  17.4  ")
	worth := strings.Join(strings.Fields(said("site", "--worth", "4000")), " ")
	assert.Contains(t, worth, "BRING Dedicated carrier, Boom-mounted head, Remote crawler: 17.4 of 23.5 acres")
	assert.Contains(t, said("site", "--worth", "2500"), "BRING        Track loader: 8.3")
}
