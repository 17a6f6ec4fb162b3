package write

import (
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/acreband/acreband/zoning/coverage"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// plainDegrees is the standard library's writing: 9 decimals, trailing zeros
// and a sign before zero left out.
func plainDegrees(deg float64) string {
	s := strconv.FormatFloat(deg, 'f', 9, 64)
	s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" || s == "-" {
		return "0"
	}
	return s
}

// checkDegrees asserts that a coordinate of a coverage, a whole number of
// units, is written as the standard library does and read back unchanged.
func checkDegrees(t *testing.T, v int64) {
	t.Helper()
	deg := float64(v) / coverage.UnitsPerDegree
	got := string(appendDegrees(nil, deg))
	require.Equal(t, plainDegrees(deg), got)
	back, err := strconv.ParseFloat(got, 64)
	require.NoError(t, err)
	require.Equal(t, deg, back)
}

func TestAppendDegrees(t *testing.T) {
	for v, want := range map[float64]string{
		0: "0", 180: "180", -180: "-180", 0.5: "0.5", -84.25: "-84.25", 36.000000001: "36.000000001",
		-0.000000001: "-0.000000001", 0.1: "0.1", -0.099999999: "-0.099999999", 100.01: "100.01",
		math.Copysign(0, -1): "0", -4e-10: "0", 179.9999999996: "180",
	} {
		assert.Equal(t, want, string(appendDegrees(nil, v)))
	}
	assert.Equal(t, "[-7", string(appendDegrees([]byte("["), -7)), "appends")
	rng := rand.New(rand.NewPCG(31, 32))
	for range 200000 {
		v := rng.Int64N(360e9+1) - 180e9
		for d := rng.IntN(10); d > 0; d-- { // numbers with few decimals too
			v = v / 10 * 10
			v /= 10
		}
		checkDegrees(t, v)
	}
}

func FuzzAppendDegrees(f *testing.F) {
	for _, v := range []int64{0, 1, -1, 9, 10, 180e9, -180e9, 99999999, -84250000000, 36000000001} {
		f.Add(v, 0.0)
	}
	f.Add(int64(171), 40.1234567885)
	f.Add(int64(0), -1e-300)
	f.Fuzz(func(t *testing.T, v int64, deg float64) {
		checkDegrees(t, v%360e9)
		// Any other number is written to half a unit.
		if !(math.Abs(deg) <= 360) {
			return
		}
		got := string(appendDegrees(nil, deg))
		back, err := strconv.ParseFloat(got, 64)
		require.NoError(t, err)
		require.InDelta(t, deg, back, 0.5002e-9, "half a unit, and the rounding of the product")
		require.Equal(t, plainDegrees(back), got)
	})
}
