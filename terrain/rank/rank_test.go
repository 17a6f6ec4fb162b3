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

// Of many values a sample says where to part them: whatever it says, the value is that of the rank,
// also of values that lie in order, that are nearly all one, or of which the sample shows none.
func TestNthOfManyIsThatOfSortedValues(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{many - 1, many, many + 1, 5000, 20011} {
		for name, value := range map[string]func(i int) float64{
			"random": func(int) float64 { return r.NormFloat64() }, "rising": func(i int) float64 { return float64(i) },
			"falling": func(i int) float64 { return float64(-i) }, "one": func(int) float64 { return 7 },
			"nearly one": func(i int) float64 { return float64(i / (n - 3)) }, "few": func(int) float64 { return float64(r.IntN(3)) },
			"not sampled": func(i int) float64 { return float64(min(i%(n/sampled), 1) * i) },
		} {
			v := make([]float64, n)
			for i := range v {
				v[i] = value(i)
			}
			sorted := slices.Sorted(slices.Values(v))
			for _, k := range []int{0, 1, n / 4, n/2 - 1, n / 2, n/2 + 1, 9 * n / 10, n - 1} {
				require.Equal(t, sorted[k], Nth(slices.Clone(v), k), "%s, %d of %d", name, k, n)
			}
		}
	}
}
