package lots

import (
	"bytes"
	"errors"
	"log/slog"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/mapping"
)

// Lots of one name, of none, off the elevation and of no ground are each told of.
func TestOddLotsAreReported(t *testing.T) {
	c := config(t)
	lots := squares(6, groundCells, 20)
	lots[1].name = lots[0].name
	lots[2].name = ""
	lots[3].ring[0][0], lots[3].ring[4][0] = 1e6, 1e6
	for i := range lots[3].ring {
		lots[3].ring[i][0] += 1e6
	}
	lots[4].ring = [][2]float64{{10, 10}, {20, 20}, {10, 10}, {10, 10}}
	writeLots(t, c.Job.Parcels, lots)
	r, out := ran(t, c)
	require.Equal(t, Result{Lots: 6, Failed: 2, Unnamed: 1, SameName: 1, FirstFault: r.FirstFault, Plan: r.Plan,
		BlocksDecoded: r.BlocksDecoded, BlocksTouched: r.BlocksTouched}, r)
	rows := rowsOf(t, out["lots.csv"])
	require.Len(t, rows, 7)
	column := func(row int, name string) string {
		for i, c := range rows[0] {
			if c == name {
				return rows[row][i]
			}
		}
		t.Fatal(name)
		return ""
	}
	require.Equal(t, "L000", column(2, "lot"))
	require.Contains(t, column(2, "notes"), `the name "L000" is that of lot 1 of the file, too`)
	require.Equal(t, "3", column(3, "lot"))
	require.Contains(t, column(3, "notes"), "it has no name in the file")
	failed := rowsOf(t, out["failed.csv"])
	require.Len(t, failed, 3)
	require.Contains(t, failed[1][1], "lot L003 lies at")
	require.Contains(t, failed[1][2], "check both files' CRS")
	require.Contains(t, failed[2][1], "encloses no ground")
	require.Contains(t, r.FirstFault, "lot L003 lies at")
	require.NotContains(t, featuresOf(t, out["zones.geojson"]), "L003")
	require.Contains(t, out["zones.geojson"], `"lots": 4,`)
}

func TestLogAndMetrics(t *testing.T) {
	c := config(t)
	var log bytes.Buffer
	c.Log = slog.New(slog.NewTextHandler(&log, nil))
	c.Metrics = filepath.Join(t.TempDir(), "acreband.prom")
	c.Child = withFaults("L005:fault")
	var steps []string
	c.Tell = func(p Progress) {
		if len(steps) == 0 || steps[len(steps)-1] != p.Step {
			steps = append(steps, p.Step)
		}
	}
	ran(t, c)
	require.Equal(t, "writing", steps[len(steps)-1])
	for _, says := range []string{`msg="lots read" lots=40 rasters=4`, `msg="a worker died" at=6`, `msg="a lot failed" lot=L005 place=6`, "msg=mapped lots=40 failed=1"} {
		require.Contains(t, log.String(), says)
	}
	text, err := os.ReadFile(c.Metrics)
	require.NoError(t, err)
	require.Contains(t, string(text), "\nacreband_lots 40\n")
	require.Contains(t, string(text), "\nacreband_lots_failed 1\n")
	require.Contains(t, string(text), `acreband_step{step="writing"} 1`)
	require.True(t, strings.HasSuffix(string(text), "# EOF\n")) // OpenMetrics 1.0

	c.Metrics = filepath.Join(t.TempDir(), "no", "such.prom")
	c.Dir = t.TempDir()
	_, err = Run(never(), c)
	require.ErrorContains(t, err, "the metrics cannot be written")
}

// A lot whose own file cannot be written fails, and the others go on.
func TestALotsFileThatCannotBeWritten(t *testing.T) {
	c := config(t)
	c.Outputs = Outputs{Table: true, Failed: true, Split: true}
	require.NoError(t, os.MkdirAll(filepath.Join(c.Dir, "zones", "4-L003.geojson", "in the way"), 0o777))
	r, out := ran(t, c)
	require.Equal(t, 1, r.Failed)
	failed := rowsOf(t, out["failed.csv"])
	require.Equal(t, "L003", failed[1][0])
	require.Contains(t, failed[1][1], "its file cannot be written")
	require.Equal(t, "mapped, not written", rowsOf(t, out["lots.csv"])[4][2])
	files, err := filepath.Glob(filepath.Join(c.Dir, "zones", "*"))
	require.NoError(t, err)
	require.Len(t, files, madeLots)

	// An output that cannot be written leaves them all as they were.
	require.NoError(t, os.Remove(filepath.Join(c.Dir, "lots.csv")))
	require.NoError(t, os.Remove(filepath.Join(c.Dir, "failed.csv")))
	require.NoError(t, os.Mkdir(filepath.Join(c.Dir, "failed.csv"), 0o777))
	_, err = Run(never(), c)
	require.ErrorContains(t, err, "start again to write them")
	require.NotContains(t, outputsIn(t, c.Dir), "lots.csv")
}

// A package of nothing is a package.
func TestAllLotsFail(t *testing.T) {
	c := config(t)
	c.Outputs = Outputs{Table: true, Zones: true, Package: true, Failed: true}
	lots := squares(2, groundCells, 20)
	for _, l := range lots {
		for i := range l.ring {
			l.ring[i][0] += 1e6
		}
	}
	writeLots(t, c.Job.Parcels, lots)
	r, out := ran(t, c)
	require.Equal(t, 2, r.Failed)
	require.Contains(t, out["zones.geojson"], `"lots": 0,`)
	require.True(t, strings.HasPrefix(out[packageName], "SQLite format 3"))
}

// One zone in all makes a package: GDAL takes a sequence of one feature for a plain
// GeoJSON feature, or for nothing by its name, unless it is told. So does one whose first
// feature is longer than what GDAL looks at.
func TestAPackageOfOneZone(t *testing.T) {
	round := made{name: "round"}
	for i := range 20_001 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i%20_000) / 20_000)
		round.ring = append(round.ring, [2]float64{75 + 60*cos, 75 + 60*sin})
	}
	for _, lot := range []made{rectangle("flat", 20, 20, 60, 60), round} {
		c := config(t)
		flatten(t, filepath.Join(c.Job.Elevation[0], "tile0.tif"), 0, 0, tileCells, tileCells)
		c.Job.Options = mapping.Options{SlopeOnly: true, WaterIsGround: true}
		c.Outputs = Outputs{Zones: true, Package: true}
		writeLots(t, c.Job.Parcels, []made{lot})
		_, out := ran(t, c)
		require.Equal(t, 1, strings.Count(out["zones.geojson"], `"type": "Feature"`))
		require.NoError(t, godal.RegisterVector(godal.GeoPackage))
		ds, err := godal.Open(filepath.Join(c.Dir, packageName), godal.VectorOnly())
		require.NoError(t, err)
		n, err := ds.LayerByName("zones").FeatureCount()
		require.NoError(t, errors.Join(err, ds.Close()))
		require.Equal(t, 1, n, lot.name)
	}
}

func TestFileNames(t *testing.T) {
	require.Equal(t, "12-Lot_7_A.geojson", fileName(12, "Lot 7/A"))
	require.Equal(t, "3-..___.geojson", fileName(3, "..\\\x00:"))
	require.Equal(t, "1-Größe.geojson", fileName(1, "Größe"))
	require.LessOrEqual(t, len(fileName(1, strings.Repeat("ö", 300))), 120)
}

// Files of an earlier run that this one does not write again are told of: lots that are
// gone, and outputs that were not asked for.
func TestFilesOfAnEarlierRunAreTold(t *testing.T) {
	c := config(t)
	c.Outputs.Split, c.Outputs.Package = true, true
	r, _ := ran(t, c)
	require.Empty(t, r.Warnings)
	r, _ = ran(t, c) // going on is no other run
	require.Empty(t, r.Warnings)

	writeLots(t, c.Job.Parcels, squares(madeLots-2, groundCells, 20))
	c.Anew, c.Outputs.Package = true, false
	r, _ = ran(t, c)
	require.Equal(t, []string{
		filepath.Join(c.Dir, "zones.gpkg") + " is of an earlier run, and this one does not write it: remove it, or name another folder",
		filepath.Join(c.Dir, "zones") + " holds 2 files that are not of this run, such as 39-L038.geojson: remove them, or name another folder",
	}, r.Warnings)
}

// A journal that cannot be gone on with is told with the cure, and anew is one.
func TestJournalsOfOthers(t *testing.T) {
	c := config(t)
	path := filepath.Join(c.Dir, journalName(c.Shard))
	require.NoError(t, os.MkdirAll(c.Dir, 0o777))
	f, err := os.Create(path)
	require.NoError(t, err)
	other, err := headed(kindInputs, 0, journalHead{Format: journalFormat + 1}, nil)
	require.NoError(t, err)
	text, err := other.append(nil)
	require.NoError(t, err)
	_, err = f.Write(text)
	require.NoError(t, errors.Join(err, f.Close()))
	for says, text := range map[string][]byte{"is a journal of another version of this program; go on with": text, "is no journal of this program": []byte("something else")} {
		require.NoError(t, os.WriteFile(path, text, 0o666))
		_, err = Run(never(), c)
		require.ErrorAs(t, err, new(*Fault))
		require.ErrorContains(t, err, path+": "+says)
		require.ErrorContains(t, err, "anew")
		kept, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Equal(t, text, kept)
	}
	c.Anew = true
	r, _ := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
}

// A lot whose reading takes too long is set aside with the cure for that.
func TestALotThatTakesLongToRead(t *testing.T) {
	c := config(t)
	c.Child, c.Limit = withFaults("reader hangs:8"), time.Second
	r, out := ran(t, c)
	require.Equal(t, madeLots, r.Lots)
	require.Equal(t, 1, r.Failed)
	require.Equal(t, []string{"L007", "reading it took longer than 1s, twice", "allow it more time (lot-timeout), or draw its boundary with fewer corners", "8", "", ""}, rowsOf(t, out["failed.csv"])[1])
}
