package lots

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// packaged is a run over the made lots as a GeoPackage, one of them without ground.
func packaged(t *testing.T) Config {
	c := config(t)
	lots := squares(madeLots, groundCells, 20)
	lots[5].ring = [][2]float64{{0, 0}, {10, 0}, {0, 0}, {0, 0}}
	lots[9].ring = lots[3].ring // the same ground as an earlier one's
	writeLots(t, c.Job.Parcels, lots)
	godal.RegisterAll()
	ds, err := godal.Open(c.Job.Parcels, godal.VectorOnly())
	require.NoError(t, err)
	defer ds.Close()
	c.Job.Parcels = filepath.Join(filepath.Dir(c.Job.Parcels), "parcels.gpkg")
	out, err := ds.VectorTranslate(c.Job.Parcels, []string{"-f", "GPKG"})
	require.NoError(t, err)
	require.NoError(t, out.Close())
	return c
}

// readingIn is the kept reading of a folder.
func readingIn(t *testing.T, dir string) string {
	names, err := filepath.Glob(filepath.Join(dir, "reading-*.journal"))
	require.NoError(t, err)
	require.Len(t, names, 1)
	return names[0]
}

func mergedOf(t *testing.T, c Config) map[string]string {
	dir := t.TempDir()
	_, err := Merge(t.Context(), dir, []string{c.Dir}, c.Outputs, nil)
	require.NoError(t, err)
	return outputsIn(t, dir)
}

// Every shard read the whole boundary file. Here it is damaged after the first has read
// it, of the same size and time, and so is the kept reading outside the lots of a shard.
func TestShardReadsOnlyItsLots(t *testing.T) {
	c := packaged(t)
	_, want := ran(t, c)
	const n = 4
	c.Dir = t.TempDir()
	c.Shard = Shard{2, n}
	first, err := Run(never(), c)
	require.NoError(t, err)

	info, err := os.Stat(c.Job.Parcels)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(c.Job.Parcels, make([]byte, info.Size()), 0o666))
	require.NoError(t, os.Chtimes(c.Job.Parcels, info.ModTime(), info.ModTime()))
	path := readingIn(t, c.Dir)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	index, err := indexIn(f)
	require.NoError(t, err)
	require.Len(t, index.Places, madeLots)

	failed := first.Failed
	for _, i := range []int{1, 3, 4} {
		from, to := Shard{i, n}.part(madeLots)
		damaged := bytes.Clone(whole)
		for k, at := range index.At {
			if k < from || k >= to {
				damaged[at+20] ^= 0xff
			}
		}
		require.NoError(t, os.WriteFile(path, damaged, 0o666))
		c.Shard = Shard{i, n}
		r, err := Run(never(), c)
		require.NoError(t, err, i)
		require.Equal(t, to-from, r.Lots)
		require.Equal(t, first.SameGround, r.SameGround)
		failed += r.Failed
	}
	require.Equal(t, 1, failed, "the lot without ground is reported by one shard")
	mustBeSame(t, want, mergedOf(t, c))

	// A damaged lot of its own ends the shard, and never passes for a sound one.
	from, _ := Shard{1, n}.part(madeLots)
	damaged := bytes.Clone(whole)
	damaged[index.At[from]+20] ^= 0xff
	require.NoError(t, os.WriteFile(path, damaged, 0o666))
	require.NoError(t, os.Remove(filepath.Join(c.Dir, journalName(Shard{1, n}))))
	c.Shard = Shard{1, n}
	_, err = Run(never(), c)
	require.ErrorIs(t, err, errTorn)
	require.ErrorContains(t, err, path)
}

// Shards that start at once wait for the one that reads.
func TestShardsThatStartAtOnceReadOnce(t *testing.T) {
	c := packaged(t)
	_, want := ran(t, c)
	c.Dir = t.TempDir()
	var all sync.WaitGroup
	var errs [3]error
	for i := range errs {
		all.Go(func() {
			c := c
			c.Shard, c.Workers = Shard{i + 1, len(errs)}, 1
			_, errs[i] = Run(never(), c)
		})
	}
	all.Wait()
	for _, err := range errs {
		require.NoError(t, err)
	}
	readingIn(t, c.Dir)
	mustBeSame(t, want, mergedOf(t, c))
}

// A reading that was cut off, or of a file that was changed since, is not gone on with.
func TestReadingIsMadeAgain(t *testing.T) {
	c := packaged(t)
	_, want := ran(t, c)
	c.Dir, c.Shard = t.TempDir(), Shard{1, 2}
	_, err := Run(never(), c)
	require.NoError(t, err)
	path := readingIn(t, c.Dir)
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	for _, size := range []int{0, 1, len(whole) / 2, len(whole) - 1} {
		require.NoError(t, os.WriteFile(path, whole[:size], 0o666))
		require.NoError(t, os.RemoveAll(filepath.Join(c.Dir, journalName(Shard{2, 2}))))
		c.Shard = Shard{2, 2}
		_, err = Run(never(), c)
		require.NoError(t, err, size)
		mustBeSame(t, want, mergedOf(t, c))
		now, err := os.ReadFile(path)
		require.NoError(t, err)
		require.Len(t, now, len(whole), "%d bytes of it", size)
	}
	info, err := os.Stat(c.Job.Parcels)
	require.NoError(t, err)
	later := info.ModTime().Add(1)
	require.NoError(t, os.Chtimes(c.Job.Parcels, later, later))
	_, err = Run(never(), c)
	require.NoError(t, err)
	names, err := filepath.Glob(filepath.Join(c.Dir, "reading-*.journal"))
	require.NoError(t, err)
	require.Len(t, names, 2)
}

// What a shard of 64 has to do with a kept reading of a million lots before it maps.
func BenchmarkShardOfAMillionLots(b *testing.B) {
	file, err := os.Create(filepath.Join(b.TempDir(), "reading"))
	require.NoError(b, err)
	defer file.Close()
	s := spoolIn(file)
	ground := appendGround(nil, orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}})
	for i := range 1_000_000 {
		lot, err := headed(kindLot, i+1, lotHead{Lot: fmt.Sprint("P", i)}, ground)
		require.NoError(b, err)
		require.NoError(b, s.add(lot, spot{place: uint32(i + 1)}))
	}
	require.NoError(b, s.keep(reading{}))
	b.ReportAllocs()
	for b.Loop() {
		index, err := indexIn(file)
		require.NoError(b, err)
		part := spoolOf(file, index, Shard{7, 64})
		for place := range part.at {
			_, err := part.lot(place)
			require.NoError(b, err)
		}
	}
}

// A kept reading that is damaged is refused, or is one: it ends no process.
func FuzzReadingIndex(f *testing.F) {
	file, err := os.Create(filepath.Join(f.TempDir(), "reading"))
	if err != nil {
		f.Fatal(err)
	}
	defer file.Close()
	s := spoolIn(file)
	lot, err := headed(kindLot, 1, lotHead{Lot: "A"}, appendGround(nil, nil))
	require.NoError(f, err)
	require.NoError(f, s.add(lot, spot{place: 1}))
	require.NoError(f, s.keep(reading{}))
	whole, err := os.ReadFile(file.Name())
	require.NoError(f, err)
	f.Add(whole)
	f.Add(whole[:len(whole)-1])
	f.Fuzz(func(t *testing.T, b []byte) {
		index, err := indexOf(bytes.NewReader(b), int64(len(b)))
		if err == nil {
			require.Len(t, index.At, len(index.Places))
			require.Len(t, index.Sums, len(index.Places))
		}
	})
}
