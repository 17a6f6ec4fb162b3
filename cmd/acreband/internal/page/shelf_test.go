package page

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shelved keeps a ground of so many bytes.
func shelved(t *testing.T, s *shelf, bytes int64) *ground {
	t.Helper()
	g := &ground{}
	require.NoError(t, s.add(g, bytes))
	return g
}

// What was forgotten while somebody worked on it counted no more, though it stayed in memory.
func TestShelfCountsWhatIsWorkedOn(t *testing.T) {
	s := newShelf(Limits{Maps: 3, KeptBytes: 100, Idle: time.Hour})
	now := time.Now()
	s.now = func() time.Time { now = now.Add(time.Second); return now }
	a, b := shelved(t, s, 40), shelved(t, s, 40)
	_, doneA, err := s.use(a.id)
	require.NoError(t, err)
	c := shelved(t, s, 50) // b goes: a is worked on
	assert.Contains(t, s.byID, a.id)
	assert.NotContains(t, s.byID, b.id)
	s.remove(a.id)
	_, _, err = s.use(a.id)
	assert.ErrorContains(t, err, "no longer kept here")
	_, doneC, err := s.use(c.id)
	require.NoError(t, err)
	assert.ErrorContains(t, s.add(&ground{}, 20), "take all the memory that the page has", "a is forgotten and counts still")
	doneA()
	doneA()
	d := shelved(t, s, 20)
	assert.ErrorContains(t, s.grow(d, 101), "the page keeps at most")
	assert.ErrorContains(t, s.grow(d, 60), "try again in a moment")
	assert.Equal(t, int64(20), d.bytes, "what is refused changes nothing")
	doneC()
	require.NoError(t, s.grow(d, 60))
	assert.NotContains(t, s.byID, c.id)
	assert.Empty(t, s.leaving)
	number, bytes := s.beside(nil)
	assert.Equal(t, 1, number)
	assert.Equal(t, int64(60), bytes)
}

func TestBytesOf(t *testing.T) {
	type node struct {
		next  *node
		z     []float32
		names []string
		any   any
	}
	shared := make([]float32, 10, 100)
	n := &node{z: shared, names: []string{"ab", "cdef"}, any: [2]int64{}}
	n.next = &node{next: n, z: shared} // a ring, and one array twice

	const nodeBytes = 8 + 24 + 24 + 16
	assert.Equal(t, int64(2*nodeBytes+400+2*16+6+16), bytesOf(n))
	assert.Zero(t, bytesOf((*node)(nil)))
	assert.Equal(t, int64(2*3*16), bytesOf(map[int64]int64{1: 1, 2: 2, 3: 3}))
	assert.Equal(t, int64(2*24+3*1), bytesOf([][]bool{make([]bool, 1), make([]bool, 2)}))
}

// What a map is counted as is what the heap holds of it, give or take a part in eight: there is no layer
// that is not counted.
func TestMapsAreCountedWhole(t *testing.T) {
	s := serve(t, costed)
	s.mapped("quarry.geojson", parcel(t)) // what is made once is made
	heap := func() int64 {
		var m runtime.MemStats
		for range 3 {
			runtime.GC()
		}
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	const maps = 5
	before := heap()
	var counted int64
	for range maps {
		counted += s.kept(s.mapped("quarry.geojson", parcel(t)).ID).bytes
	}
	held := heap() - before
	t.Logf("%d maps: %d bytes counted, %d on the heap", maps, counted, held)
	assert.InEpsilon(t, held, counted, 0.125)
	runtime.KeepAlive(s)
}
