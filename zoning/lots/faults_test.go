package lots

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/resume"
)

// elsewhere is the same run in another folder.
func elsewhere(t *testing.T, c Config) Config {
	c.Dir = filepath.Join(t.TempDir(), "out")
	return c
}

// once is a file that a fault takes away to happen once.
func once(t *testing.T, name string) string {
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, nil, 0o666))
	return path
}

func TestALotThatEndsItsWorkerIsSetAside(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	c = elsewhere(t, c)
	c.Child = withFaults("L007:fault", "L021:kill", "L030:fault:"+once(t, "a"), "L002:kill:"+once(t, "b"))
	r, got := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
	require.Equal(t, 2, r.Failed)
	require.Equal(t, 2*tries+2, r.Restarts)
	failed := rowsOf(t, got["failed.csv"])
	require.Len(t, failed, 3)
	require.Equal(t, "L007", failed[1][0])
	require.Regexp(t, "mapping it ended the process, alone too: .*(fault|SIGSEGV)", failed[1][1])
	require.Equal(t, "L021", failed[2][0])
	require.Contains(t, failed[2][1], "killed")
	require.Contains(t, failed[2][2], "check its boundary")

	// All the others are as ever, those that were tried twice too.
	was, is := featuresOf(t, want["zones.geojson"]), featuresOf(t, got["zones.geojson"])
	delete(was, "L007")
	delete(was, "L021")
	require.Equal(t, was, is)
	rows := rowsOf(t, got["lots.csv"])
	require.Equal(t, []string{"L007", "8", "failed", "by limits", "", "", ""}, rows[8][:7])

	// Without the fault, asking for it maps those two as well.
	c.Child = withFaults()
	r, _ = ran(t, c)
	require.Equal(t, 2, r.Failed)
	c.RetryFailed = true
	r, got = ran(t, c)
	require.Zero(t, r.Failed)
	require.Equal(t, madeLots-2, r.Again)
	mustBeSame(t, want, got)
}

func TestALotThatEndsTheReaderIsSetAside(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	c = elsewhere(t, c)
	c.Child = withFaults("reader:8")
	r, got := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
	require.Equal(t, 1, r.Failed)
	require.Contains(t, rowsOf(t, got["failed.csv"])[1][1], "reading it ended the process")
	was, is := featuresOf(t, want["zones.geojson"]), featuresOf(t, got["zones.geojson"])
	delete(was, "L007")
	require.Equal(t, was, is)
}

func TestALotThatHangsIsTimedOut(t *testing.T) {
	c := config(t)
	c.Child, c.Limit = withFaults("L011:hang"), time.Second
	r, got := ran(t, c)
	require.Equal(t, 1, r.Failed)
	failed := rowsOf(t, got["failed.csv"])
	require.Equal(t, []string{"L011", "mapping it took longer than 1s, alone too", "allow it more time (lot-timeout), split the lot, or use a coarser raster", "12", "", ""}, failed[1])
}

func TestWorkersThatCannotBeginEndTheRun(t *testing.T) {
	c := config(t)
	c.Child = func() *exec.Cmd { return exec.Command("sh", "-c", "echo no library >&2; exit 127") }
	_, err := Run(never(), c)
	// Whether the job could still be handed over depends on when it ended.
	require.ErrorContains(t, err, "exit status 127: no library")
	entries, err := os.ReadDir(c.Dir)
	require.NoError(t, err)
	require.Empty(t, entries) // nothing was begun
}

// A tile that is taken away while lots are worked fails lots on it and no others.
func TestATileThatBreaksOnTheWay(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	c = elsewhere(t, c)
	c.Workers = 1
	tile := filepath.Join(c.Job.Elevation[0], "tile2.tif")
	c.Child = withFaults("*:remove:" + tile) // before the first lot
	r, got := ran(t, c)
	require.Greater(t, r.Failed, 0)
	require.Len(t, r.Warnings, 1)
	require.Contains(t, r.Warnings[0], "elevation tile2.tif was ")
	was, is := featuresOf(t, want["zones.geojson"]), featuresOf(t, got["zones.geojson"])
	failed := rowsOf(t, got["failed.csv"])[1:]
	for _, f := range failed {
		require.Contains(t, f[1], "tile2.tif")
		delete(was, f[0])
	}
	require.Equal(t, was, is)
	require.NotEmpty(t, is)

	// Going on with what is left of the tile is refused: what was mapped was
	// mapped with the whole one.
	c.Child, c.RetryFailed = withFaults(), true
	_, err := Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "elevation tile2.tif is no longer there")
}

func TestChangedInputsAreRefused(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	for says, change := range map[string]func(*Config){
		"the program was test, is newer":                                       func(c *Config) { c.Version = "newer" },
		`machine 2 of the fleet \(dedicated-carrier\): limit was 30%, is 31%;`: func(c *Config) { c.Job.Fleet[1].LimitPct++ },
		"machine 3 of the fleet is no longer there":                            func(c *Config) { c.Job.Fleet = c.Job.Fleet[:2] },
		"--slope-scale was , is cell":                                          func(c *Config) { c.Settings = resume.Inputs{{Name: "--slope-scale", Value: "cell"}} },
		"lots was 40, digest .*, is 39, digest":                                func(c *Config) { writeLots(t, c.Job.Parcels, squares(39, groundCells, 20)) },
		"elevation tile0.tif was .* bytes, digest":                             func(c *Config) { writeTile(t, c.Job.Elevation[0]+"/tile0.tif", 9, 9, tileCells, tileCells, 32) },
	} {
		changed := c
		changed.Job.Fleet = append(c.Job.Fleet[:0:0], c.Job.Fleet...)
		change(&changed)
		_, err := Run(never(), changed)
		require.ErrorIs(t, err, resume.ErrInputs, says)
		require.Regexp(t, says, err.Error())
		require.ErrorContains(t, err, "anew")
		mustBeSame(t, want, outputsIn(t, c.Dir))
		writeLots(t, c.Job.Parcels, squares(madeLots, groundCells, 20))
	}
	c.Anew = true
	r, _ := ran(t, c)
	require.Zero(t, r.Again)
}

// A run that is told to stop finishes what is begun, and goes on from there.
func TestStopping(t *testing.T) {
	whole := config(t)
	_, want := ran(t, whole)
	for _, at := range []string{"soon", "now"} {
		c := elsewhere(t, whole)
		c.Child = withFaults("*:slow")
		soon, first := context.WithCancel(context.Background())
		now, second := context.WithCancel(context.Background())
		c.Tell = func(p Progress) {
			if p.Step == "mapping" && p.Done > 0 {
				first()
				if at == "now" {
					second()
				}
			}
		}
		r, err := Run(Stop{soon, now}, c)
		require.ErrorIs(t, err, ErrStopped)
		require.Less(t, r.Lots, madeLots)
		require.NotContains(t, outputsIn(t, c.Dir), "lots.csv")
		c.Child, c.Tell = withFaults(), nil
		again, got := ran(t, c)
		require.GreaterOrEqual(t, again.Again, r.Lots)
		mustBeSame(t, want, got)
		second()
	}
}

func TestTwoRunsInOneFolder(t *testing.T) {
	c := config(t)
	require.NoError(t, os.MkdirAll(c.Dir, 0o777))
	f, err := c.openStore()
	require.NoError(t, err)
	defer f.Close()
	_, err = Run(never(), c)
	require.ErrorIs(t, err, ErrBusy)
}
