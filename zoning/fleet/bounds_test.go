package fleet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// The library takes what a file may say at most, and refuses what no machine has: each
// number has bounds for both.
func TestBoundsAreThoseOfTheLibrary(t *testing.T) {
	held := 0
	for i, k := range keysOf(&zoning.Machine{}) {
		a, is := k.value.(amount)
		if !is {
			continue
		}
		held++
		most, err := a.parse(a.spec.Most)
		require.NoError(t, err)
		m := zoning.Machine{Key: "a", LimitPct: 30}
		to := keysOf(&m)[i].value.(amount).to
		*to = most
		assert.NoError(t, zoning.Fleet(zoning.Fleet{m}).Check(), k.name)
		*to = 1e9
		assert.ErrorContains(t, zoning.Fleet(zoning.Fleet{m}).Check(), k.name+" of")
	}
	assert.GreaterOrEqual(t, held, 12)
	_, err := Parse("f", fmt.Appendf(nil, "machines: [{key: a, name: A, limit: %.9f%%}]", zoning.MaxLimitPct))
	assert.NoError(t, err)
}
