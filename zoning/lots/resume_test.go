package lots

import (
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/resume"
)

// alonely is the made run with one more lot, the only one on a tile of its own.
func alonely(t *testing.T) (c Config, place string) {
	c = config(t)
	writeTile(t, filepath.Join(c.Job.Elevation[0], "tile9.tif"), 1000, 0, tileCells, tileCells, 32)
	writeLots(t, c.Job.Parcels, append(squares(madeLots, groundCells, 20), rectangle("alone", 1040, 40, 1060, 60)))
	return c, "41"
}

// A reader that died of something else than the lot it was at lost that lot.
func TestAReaderThatDiesOnceLosesNothing(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	for _, at := range []string{"reader once:8:", "reader once:0:"} { // at no lot: at the end
		c = elsewhere(t, c)
		c.Child = withFaults(at + once(t, "a"))
		r, got := ran(t, c)
		require.Zero(t, r.Failed)
		mustBeSame(t, want, got, at)
	}
}

// The digest of the lots hung on the fault of one, and the rasters on which lots could be read,
// so that a run in which a reader died could not be gone on with: "made from other inputs".
func TestGoingOnAfterAReaderDied(t *testing.T) {
	c, place := alonely(t)
	whole := elsewhere(t, c)
	_, want := ran(t, whole)

	c.Child = withFaults("reader:" + place)
	r, got := ran(t, c)
	require.Equal(t, 1, r.Failed)
	failed := rowsOf(t, got["failed.csv"])
	require.Equal(t, "alone", failed[1][0])
	require.Regexp(t, "^reading it ended the process, twice: ", failed[1][1])
	require.Contains(t, failed[1][2], "retry-failed reads it again")

	// Sound again, it goes on, and reads the lot again where that is asked for.
	c.Child = withFaults()
	r, _ = ran(t, c)
	require.Equal(t, [2]int{madeLots + 1, 1}, [2]int{r.Again, r.Failed})
	c.RetryFailed = true
	r, got = ran(t, c)
	require.Equal(t, [2]int{madeLots, 0}, [2]int{r.Again, r.Failed})
	mustBeSame(t, want, got)

	// By now all lots are known: what changes is noticed.
	lots := append(squares(madeLots, groundCells, 20), rectangle("alone", 1040, 40, 1061, 60))
	writeLots(t, c.Job.Parcels, lots)
	_, err := Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "lots was 41, digest ")
	require.ErrorContains(t, err, "(1 of the file are new, gone or changed, the first at place 41)")
}

// While a lot is unread the others are held to what they were.
func TestAnUnreadLotHidesNoChange(t *testing.T) {
	c, place := alonely(t)
	c.Child = withFaults("reader:" + place)
	ran(t, c)
	c.Child = withFaults()
	lots := append(squares(madeLots, groundCells, 20), rectangle("alone", 1040, 40, 1060, 60))
	lots[3].ring[1][0]++
	writeLots(t, c.Job.Parcels, lots)
	_, err := Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "the first at place 4)")
	lots[3].ring[1][0]--
	writeLots(t, c.Job.Parcels, lots)
	// A new tile that others touch is a change, the unread lot's own is none.
	writeTile(t, filepath.Join(c.Job.Elevation[0], "tile8.tif"), 100, 100, 100, 100, 32)
	_, err = Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "elevation tile8.tif is new")
	require.NotContains(t, err.Error(), "tile9.tif")
}

// A lot that was read before and cannot be now is not "other inputs".
func TestALotThatCannotBeReadAnyMore(t *testing.T) {
	c, place := alonely(t)
	ran(t, c)
	c.Child = withFaults("reader:" + place)
	_, err := Run(never(), c)
	require.NotErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "lot 41 of the file was read before and cannot be read now")
}

// retry-failed records the fault of now, with the limit in force.
func TestReadFaultsAreReplaced(t *testing.T) {
	c := config(t)
	c.Child = withFaults("reader:8")
	ran(t, c)
	c.Child, c.RetryFailed, c.Limit = withFaults("reader hangs:8"), true, 1500*time.Millisecond
	_, out := ran(t, c)
	require.Equal(t, []string{"L007", "reading it took longer than 1.5s, twice"}, rowsOf(t, out["failed.csv"])[1][:2])
}

// A raster with a new date and the same content blocked going on, with content changed between
// the samples of its digest and its date kept it did not.
func TestRastersAreToldByContent(t *testing.T) {
	c := config(t)
	_, want := ran(t, c)
	tile := filepath.Join(c.Job.Elevation[0], "tile0.tif")
	was, err := os.Stat(tile)
	require.NoError(t, err)
	require.NoError(t, os.Chtimes(tile, time.Time{}, was.ModTime().Add(time.Hour)))
	r, got := ran(t, c)
	require.Equal(t, madeLots, r.Again)
	mustBeSame(t, want, got)

	text, err := os.ReadFile(tile)
	require.NoError(t, err)
	const sample, samples = 4096, 16
	stride := (len(text) - sample) / (samples - 1)
	require.Greater(t, stride, sample, "there is something between samples")
	text[(sample+stride)/2]++
	before, err := resume.OfRasters(t.Context(), "elevation", []resume.Raster{{Path: tile}})
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(tile, text, 0o666))
	require.NoError(t, os.Chtimes(tile, time.Time{}, was.ModTime()))
	after, err := resume.OfRasters(t.Context(), "elevation", []resume.Raster{{Path: tile}})
	require.NoError(t, err)
	require.Equal(t, before[0].Value, after[0].Value)
	_, err = Run(never(), c)
	require.ErrorIs(t, err, resume.ErrInputs)
	require.ErrorContains(t, err, "elevation tile0.tif was changed: its checksum was ")
}

// Parts of which one could not read a lot may lack another, or have it twice.
func TestPartsThatCannotBeJoined(t *testing.T) {
	c := config(t)
	c.Dir = t.TempDir()
	for i := range 2 {
		c.Shard = Shard{i + 1, 2}
		_, err := Run(never(), c)
		require.NoError(t, err)
	}
	copied := filepath.Join(c.Dir, "run-1-of-2 (copy).journal")
	text, err := os.ReadFile(filepath.Join(c.Dir, journalName(Shard{1, 2})))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(copied, text, 0o666))
	_, err = Merge(t.Context(), t.TempDir(), []string{c.Dir}, c.Outputs, nil)
	require.ErrorIs(t, err, ErrParts)
	_, err = Merge(t.Context(), t.TempDir(), []string{filepath.Join(c.Dir, "none")}, c.Outputs, nil)
	require.True(t, errors.Is(err, ErrParts) && errors.Is(err, os.ErrNotExist))

	a := &journal{path: "a", head: journalHead{Lots: 3, Shard: Shard{1, 2}}, at: map[int]located{1: {}}}
	b := &journal{path: "b", head: journalHead{Lots: 3, Shard: Shard{2, 2}}, at: map[int]located{1: {}, 2: {}}}
	err = together([]*journal{a, b})
	require.ErrorIs(t, err, ErrUnfinished)
	require.ErrorContains(t, err, "1 lots are in no part")
}

func TestLotSums(t *testing.T) {
	s := lotSums{1: 7, 5: unreadSum, 300: 9}
	again, err := lotSumsIn(s.append(nil))
	require.NoError(t, err)
	require.Equal(t, s, again)
	require.Equal(t, map[int]bool{5: true}, s.unreadPlaces())
	require.Empty(t, s.changes(lotSums{1: 7, 5: 4, 300: 9}))
	require.Empty(t, lotSums{1: 7, 5: 4, 300: 9}.changes(s))
	require.Contains(t, s.changes(lotSums{1: 7, 5: 4, 300: 8})[0], "1 of the file are new, gone or changed, the first at place 300")
	require.Contains(t, s.changes(lotSums{1: 7, 300: 9, 4: 4})[0], "2 of the file are new, gone or changed, the first at place 4")
	_, err = lotSumsIn([]byte{1, 2})
	require.ErrorIs(t, err, errTorn)
}
