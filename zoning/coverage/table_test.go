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
