package rank

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNthIsThatOfSortedValues(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 300; n++ {
		v := make([]float64, n)
		for i := range v {
			v[i] = float64(r.IntN(1 + n/2)) // many equal
		}
		switch n % 3 {
		case 0:
			slices.Sort(v)
		case 1:
			slices.SortFunc(v, func(a, b float64) int { return int(b - a) })
		}
		sorted := slices.Sorted(slices.Values(v))
		for _, k := range []int{0, n / 2, n - 1, r.IntN(n)} {
			require.Equal(t, sorted[k], Nth(slices.Clone(v), k))
		}
	}
}
