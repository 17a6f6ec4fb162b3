package fleet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// What a file may say at most, whoever embeds the library may say at most: the bounds
// stand in two places.
func TestBoundsAreThoseOfTheLibrary(t *testing.T) {
	held := 0
	for i, k := range keysOf(&zoning.Machine{}) {
		a, is := k.value.(amount)
		if !is {
			continue
		}
		held++
		most, err := a.parse(a.most)
		require.NoError(t, err)
		m := zoning.Machine{Key: "a", LimitPct: 30}
		to := keysOf(&m)[i].value.(amount).to
		*to = most
		assert.NoError(t, zoning.CheckFleet([]zoning.Machine{m}), k.name)
		*to = 1.001 * most
		assert.ErrorContains(t, zoning.CheckFleet([]zoning.Machine{m}), k.name+" of", "above %s", a.most)
	}
	assert.Equal(t, 12, held)
	_, err := Parse("f", fmt.Appendf(nil, "machines: [{key: a, name: A, limit: %.9f%%}]", zoning.MaxLimitPct))
	assert.NoError(t, err)
}
