package trafficability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	machines "github.com/acreband/acreband/zoning/fleet"
)

// Slopes beside every limit, of all sizes, unknown and odd ones get the mask that holding
// them against each limit gives.
func TestStandBesideLimits(t *testing.T) {
	one := machines.Default()[:1]
	r := rand.New(rand.NewPCG(3, 3))
	for _, f := range []zoning.Fleet{machines.Default(), one, fleet(), machines.Default().On(zoning.Wet)} {
		squares := []float32{0, float32(math.Copysign(0, -1)), -1e-20, -5, float32(math.NaN()), float32(math.Inf(1)), math.MaxFloat32, math.SmallestNonzeroFloat32,
			math.Float32frombits(0xffc00000)}
		for _, m := range f {
			rise := max(0, m.SteepestPct()/100-zoning.TieRise)
			up := float32(rise * rise)
			down := up
			for range 50 {
				squares = append(squares, up, down)
				up, down = math.Nextafter32(up, 9), math.Nextafter32(down, 0)
			}
		}
		for range 20_000 {
			squares = append(squares, float32(math.Exp(20*r.Float64()-14)))
		}
		got := make([]zoning.Mask, len(squares))
		require.NoError(t, Stand(&slope.Field{Cols: len(squares), Rows: 1, Squared: squares}, f, got))
		for i, s := range squares {
			want := zoning.Mask(0)
			for k, m := range f {
				rise := max(0, m.SteepestPct()/100-zoning.TieRise)
				if s < float32(rise*rise) {
					want |= 1 << k
				}
			}
			if s != s {
				want = zoning.Unknown
			}
			if got[i] != want {
				t.Fatalf("slope squared %v: %b, not %b", s, got[i], want)
			}
		}
	}
}
