package coverage

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// numbering is what gives keys numbers.
type numbering[K comparable] interface {
	put(key K, number int32) (has int32, isNew bool)
	at(key K) (number int32, ok bool)
}

// isAMap checks that keys put in turn have the numbers that a map of the language has, and how many
// they are.
func isAMap[K comparable](t *testing.T, got numbering[K], put, all []K) (n int) {
	t.Helper()
	want := map[K]int32{}
	for i, key := range put {
		has, known := want[key]
		if !known {
			has, want[key] = int32(i), int32(i)
		}
		value, isNew := got.put(key, int32(i))
		assert.Equal(t, !known, isNew)
		assert.Equal(t, has, value)
	}
	for _, key := range all {
		has, known := want[key]
		value, ok := got.at(key)
		assert.Equal(t, known, ok)
		if known {
			assert.Equal(t, has, value)
		}
	}
	return len(want)
}

// A table answers as a map of the language does, through every growth, whatever keys
// share a slot.
func TestTableIsAMap(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	var put, all []Vertex
	for range 2000 {
		put = append(put, Vertex{r.Int64N(40) - 20, r.Int64N(40) << 40})
	}
	for x := int64(-20); x < 20; x++ {
		for y := range int64(40) {
			all = append(all, Vertex{x, y << 40})
		}
	}
	for _, hash := range []func(Vertex) uint64{hashVertex, func(Vertex) uint64 { return 1 << 63 }} {
		got := newTable(4, hash)
		assert.Equal(t, isAMap(t, got, put, all), got.used)
	}
}

// Places answer as a table does, in an array and where there are too many for one, cut after cut.
func TestPlacesAreATable(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	got := newPlaces()
	for _, places := range []int{400, mostInArray, mostInArray + 1, 90} {
		got.empty(10, places)
		assert.Equal(t, places <= mostInArray, got.all != nil)
		var put, all []int32
		for range 300 {
			put = append(put, r.Int32N(int32(min(places, 200))))
		}
		for place := range int32(min(places, 200)) {
			all = append(all, place)
		}
		isAMap(t, &got, put, append(all, int32(places), -1)) // beyond the last, and before the first
	}
}

// What is handed out is of zeros, whatever was written before, and a pool that was too small holds
// all of the next cut.
func TestPoolsHandOutZeros(t *testing.T) {
	var p pool[int32]
	for range 3 {
		for _, n := range []int{3, 0, 40, 7} {
			got := p.make(n)
			assert.Equal(t, make([]int32, n), got)
			for i := range got {
				got[i] = 9
			}
			assert.Equal(t, n, cap(got), "what is appended does not run into the next")
		}
		p.reset()
		assert.Len(t, p.buf, 50)
	}
}
