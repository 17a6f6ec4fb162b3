package lots

import (
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// eat takes memory until there is none, or 4 GB.
func eat() {
	var kept [][]byte
	for len(kept) < 256 {
		b := make([]byte, 16<<20)
		for i := 0; i < len(b); i += 4096 {
			b[i] = 1
		}
		kept = append(kept, b)
	}
	runtime.KeepAlive(kept)
}

// onLinux skips a test elsewhere: only Linux bounds a process's memory, see package child.
func onLinux(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the system bounds memory on Linux only")
	}
}

// A lot whose reading took memory without end took all of the machine's.
func TestALotThatTakesAllMemoryIsSetAside(t *testing.T) {
	onLinux(t)
	c := config(t)
	_, want := ran(t, c)
	c = elsewhere(t, c)
	c.Child, c.Job.ReaderBytes = withFaults("reader eats:8"), 512<<20
	r, got := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
	require.Equal(t, 1, r.Failed)
	require.Equal(t, []string{"L007", "reading it takes more than the 512 MB of memory allowed, twice", "draw its boundary with fewer corners"},
		rowsOf(t, got["failed.csv"])[1][:3])
	was, is := featuresOf(t, want["zones.geojson"]), featuresOf(t, got["zones.geojson"])
	delete(was, "L007")
	require.Equal(t, was, is)
}

// A file that is kept whole while it is read had no bound; nor had the site files.
func TestAFileThatTakesAllMemoryEndsTheRun(t *testing.T) {
	onLinux(t)
	swells := filepath.Join(t.TempDir(), "swells.kml")
	text := `<kml xmlns="http://www.opengis.net/kml/2.2"><Document>` + strings.Repeat("<Placemark/>", 1_000_000) + "</Document></kml>"
	require.NoError(t, os.WriteFile(swells, []byte(text), 0o666))
	lots := config(t)
	lots.Job.Parcels = swells
	site := config(t)
	site.Job.Site.Site = []string{swells}
	for file, c := range map[string]Config{swells: lots, "the site files": site} {
		c.Job.ReaderBytes = 256 << 20
		_, err := Run(never(), c)
		require.EqualError(t, err, file+": reading it takes more than the 256 MB of memory allowed; save it as GeoJSON or GeoPackage, which are read piece by piece, or in parts")
		require.ErrorAs(t, err, new(*Fault))
		require.Empty(t, outputsIn(t, c.Dir))
	}
}

// Site files were read before the time limit began.
func TestSiteFilesHaveALimitOfTime(t *testing.T) {
	err := unreadable("the site files", overLimit{time.Second}, time.Second, 1<<30)
	require.EqualError(t, err, "the site files: it took longer than 1s to come to its first lot; allow it more time (lot-timeout), or save its lots as a plain table or a file of their own")
}
