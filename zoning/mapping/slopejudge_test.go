//go:build cgo

package mapping_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
)

// A judge that keeps its memory finds of each part what one does that has judged nothing: on
// ground with voids and a pond, larger and smaller by turns, at either scale.
func TestAJudgeRemembersNoGround(t *testing.T) {
	rnd := rand.New(rand.NewPCG(8, 1))
	for _, o := range []mapping.Options{{Scale: mapping.CellScale, Ground: zoning.Dry}, {Scale: mapping.MachineScale, Ground: zoning.Wet, WaterIsGround: true}} {
		j := must(mapping.NewSlopeJudge(fleet.Default(), o))
		for range 12 {
			cols, rows := 30+rnd.IntN(70), 30+rnd.IntN(200)
			z := make([]float32, cols*rows)
			for i := range z {
				switch x, y := i%cols, i/cols; {
				case x > 8 && x < 25 && y > 8 && y < 25:
					z[i] = 100
				case rnd.IntN(50) == 0:
					z[i] = float32(math.NaN())
				default:
					z[i] = 101 + float32(x*x)/200 + rnd.Float32()/4
				}
			}
			e := &terrain.Elevation{Grid: must(terrain.NewGrid(z, cols, rows, 1, 1)), Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}}
			part := terrain.NewWindow(rnd.IntN(5), rnd.IntN(5), cols-rnd.IntN(5), rows-rnd.IntN(5))
			slopes := rnd.IntN(3) > 0
			want := must(bySlope(e, fleet.Default(), part, slopes, o))
			got := must(j.Judge(e, part, slopes))
			require.Equal(t, want.Bands, got.Bands)
			require.Equal(t, want.Remarks, got.Remarks)
			require.True(t, slices.EqualFunc(want.SlopePct, got.SlopePct, func(a, b float32) bool { return math.Float32bits(a) == math.Float32bits(b) }))
			require.Len(t, got.SlopePct, map[bool]int{true: len(got.Bands), false: 0}[slopes])
			if o.Scale == mapping.CellScale {
				require.Contains(t, got.Bands, uint8(fleet.Default().NoGoBand()), "the pond")
			}
		}
	}
}
