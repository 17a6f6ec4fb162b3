package lots

import (
	"maps"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/raster"
)

// The curve visits every square once, each beside the last (Hilbert 1891).
func TestHilbertCurve(t *testing.T) {
	const n = 5
	at := make([][2]int, 1<<(2*n))
	for x := range 1 << n {
		for y := range 1 << n {
			at[hilbert(n, uint32(x), uint32(y))] = [2]int{x, y}
		}
	}
	require.Equal(t, [2]int{0, 0}, at[0])
	for i := 1; i < len(at); i++ {
		dx, dy := at[i][0]-at[i-1][0], at[i][1]-at[i-1][1]
		require.Equal(t, 1, dx*dx+dy*dy, "step %d", i)
	}
}

// The scan visits every block once, each beside the last but where a strip ends.
func TestScanOfBlocks(t *testing.T) {
	const cols, rows, n = 9, 12, 4
	at := map[uint64][2]int{}
	for c := range cols {
		for r := range rows {
			at[scan(c, r, n)] = [2]int{c, r}
		}
	}
	require.Len(t, at, cols*rows)
	order := slices.Sorted(maps.Keys(at))
	for i := 1; i < len(order); i++ {
		p, q := at[order[i-1]], at[order[i]]
		dx, dy := q[0]-p[0], q[1]-p[1]
		if i%(cols*n) == 0 {
			require.Zero(t, dx) // straight down to the next strip
			continue
		}
		require.Equal(t, 1, dx*dx+dy*dy, "step %d", i)
	}
	require.Equal(t, 1, stripRows(0))
	require.Equal(t, 8, stripRows(32))
	require.Equal(t, mostStripRows, stripRows(1<<20))
}

func TestShardsAreTheWhole(t *testing.T) {
	for _, n := range []int{0, 1, 7, 40, 1_000_003} {
		for _, shards := range []int{1, 2, 3, 8, 50} {
			next := 0
			for i := range shards {
				from, to := Shard{i + 1, shards}.part(n)
				require.Equal(t, next, from)
				require.LessOrEqual(t, to-from, n/shards+1)
				next = to
			}
			require.Equal(t, n, next)
		}
	}
}

func TestQueueDealsEveryLotOnce(t *testing.T) {
	q := newQueue(100, 3)
	seen := map[int]bool{}
	deal := func(worker, n int) {
		for range n {
			i, ok := q.next(worker)
			require.True(t, ok)
			require.False(t, seen[i], i)
			seen[i] = true
		}
	}
	deal(0, 33) // its own
	deal(0, 40) // then of what the others have not begun
	deal(1, 10)
	deal(2, 17)
	require.Len(t, seen, 100)
	for w := range 3 {
		_, ok := q.next(w)
		require.False(t, ok)
	}
}

// In the order of work a cache of a twentieth of the raster's blocks decodes each
// of them about once, tiles or strips, however the lots come.
func TestBlocksAreDecodedAboutOnce(t *testing.T) {
	const cells, lots, cacheBytes = 2048, 10_000, 4 * 2048 * 2048 / 20
	for name, block := range map[string][2]int{"tiles": {64, 64}, "strips": {cells, 4}} {
		path := filepath.Join(t.TempDir(), name+".tif")
		writeFlat(t, path, cells, block)
		catalogue, err := raster.NewCatalogue(t.Context(), []string{path}, raster.Options{})
		require.NoError(t, err)
		defer catalogue.Close()
		r := rand.New(rand.NewPCG(7, 8))
		grounds, spots := make([]orb.MultiPolygon, lots), make([]spot, lots)
		for i := range lots {
			grounds[i] = vectorOf(t, r.Float64()*(cells-40)+20, r.Float64()*(cells-40)+20, 8)
			spots[i] = spotOf(catalogue, grounds[i], cacheBytes)
			spots[i].place = uint32(i)
		}
		sortSpots(spots)
		cache := raster.NewCache(cacheBytes)
		worker := raster.CatalogueOf(catalogue.Entries(), raster.Options{}, cache)
		defer worker.Close()
		for _, s := range spots {
			rasters, err := worker.Around(t.Context(), grounds[s.place])
			require.NoError(t, err)
			_, err = raster.Read(t.Context(), rasters, grounds[s.place])
			require.NoError(t, err)
		}
		n := cache.Counts()
		require.Greater(t, n.Touched, (cells*cells)/(block[0]*block[1])*9/10, name)
		require.LessOrEqual(t, float64(n.Decoded), 1.3*float64(n.Touched), "%s: %+v", name, n)
		t.Logf("%s: %+v", name, n)
	}
}
