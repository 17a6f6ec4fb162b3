package coverage

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Directions stand counter-clockwise from east, whatever their order was.
func TestDirectionsTurnCounterClockwise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 24; n++ {
		var rays []Vertex
		for _, turn := range r.Perm(n) {
			sin, cos := math.Sincos(2 * math.Pi * float64(turn) / float64(n))
			rays = append(rays, Vertex{int64(1e6 * cos), int64(1e6 * sin)})
		}
		slices.SortFunc(rays, compareTurn)
		last := -1.0
		for _, d := range rays {
			angle := math.Mod(math.Atan2(float64(d.Y), float64(d.X))+2*math.Pi+1e-9, 2*math.Pi)
			assert.Greater(t, angle, last, "%d rays", n)
			last = angle
		}
	}
}

// Stops compare as whole numbers of any size do.
func TestStopsStandAlongTheirWay(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for n := range 12 {
		way := make([]stop, n)
		for i := range way {
			way[i] = stop{product(r.Int64N(9)-4, 1<<(r.IntN(3)*30)), r.Int32N(4)}
		}
		want := slices.Clone(way)
		slices.SortFunc(want, func(a, b stop) int {
			if c := a.along.big().Cmp(b.along.big()); c != 0 {
				return c
			}
			return int(a.vertex - b.vertex)
		})
		slices.SortFunc(way, stop.compare)
		assert.Equal(t, want, way)
	}
}
