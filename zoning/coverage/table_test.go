package coverage

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A table answers as a map of the language does, through every growth, whatever keys
// share a slot.
func TestTableIsAMap(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for _, hash := range []func(Vertex) uint64{hashVertex, func(Vertex) uint64 { return 1 << 63 }} {
		want := map[Vertex]int32{}
		got := newTable(4, hash)
		for i := range int32(2000) {
			key := Vertex{r.Int64N(40) - 20, r.Int64N(40) << 40}
			has, known := want[key]
			if !known {
				has, want[key] = i, i
			}
			value, isNew := got.put(key, i)
			assert.Equal(t, !known, isNew)
			assert.Equal(t, has, value)
		}
		assert.Equal(t, len(want), got.used)
		for x := int64(-20); x < 20; x++ {
			for y := range int64(40) {
				key := Vertex{x, y << 40}
				has, known := want[key]
				value, ok := got.at(key)
				assert.Equal(t, known, ok)
				if known {
					assert.Equal(t, has, value)
				}
			}
		}
	}
}

// Places answer as a table does, in an array and where there are too many for one, cut after cut.
func TestPlacesAreATable(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	got := newPlaces()
	for _, places := range []int{400, mostInArray, mostInArray + 1, 90} {
		got.empty(10, places)
		assert.Equal(t, places <= mostInArray, got.all != nil)
		want := map[int32]int32{}
		for i := range int32(300) {
			place := r.Int32N(int32(min(places, 200)))
			has, known := want[place]
			if !known {
				has, want[place] = i, i
			}
			value, isNew := got.put(place, i)
			assert.Equal(t, !known, isNew)
			assert.Equal(t, has, value)
		}
		for place := range int32(min(places, 200)) {
			has, known := want[place]
			value, ok := got.at(place)
			assert.Equal(t, known, ok)
			if known {
				assert.Equal(t, has, value)
			}
		}
		_, ok := got.at(int32(places))
		assert.False(t, ok, "beyond the last")
		_, ok = got.at(-1)
		assert.False(t, ok, "before the first")
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
