package coverage

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Half-edges stand counter-clockwise from east, those of a fan of a few as those of one of many.
func TestFansTurnCounterClockwise(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for n := 1; n < 3*mostInFan; n++ {
		// A star of n rays about vertex 0, ray i being segment i and its half-edge 2i or 2i+1.
		star := &noded{vertices: []Vertex{{}}}
		var fan []int32
		for i, turn := range r.Perm(n) {
			sin, cos := math.Sincos(2 * math.Pi * float64(turn) / float64(n))
			star.vertices = append(star.vertices, Vertex{int64(1e6 * cos), int64(1e6 * sin)})
			if r.IntN(2) == 0 {
				star.segments = append(star.segments, segment{from: 0, to: int32(i + 1)})
				fan = append(fan, int32(2*i))
			} else {
				star.segments = append(star.segments, segment{from: int32(i + 1), to: 0})
				fan = append(fan, int32(2*i+1))
			}
		}
		a := &arrangement{noded: star}
		a.sortFan(fan)
		last := -1.0
		for _, h := range fan {
			d := a.direction(h)
			angle := math.Mod(math.Atan2(float64(d.Y), float64(d.X))+2*math.Pi+1e-9, 2*math.Pi)
			assert.Greater(t, angle, last, "%d rays", n)
			last = angle
		}
	}
}

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
		sortFew(way)
		assert.Equal(t, want, way)
	}
}
