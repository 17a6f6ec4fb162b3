package sheet

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/sheet/internal/drawing"
)

// Steps outside the box are left out of the search for what is hatched: the lines found are those
// that all steps find, to the last bit, also for lines along a side, of no length, and beside the box.
func TestHatchingLooksOnlyWhereItsBoxIs(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	everywhere := drawing.Box{Left: math.Inf(-1), Top: math.Inf(-1), Right: math.Inf(1), Bottom: math.Inf(1)}
	box := drawing.Box{Left: 3.5, Top: -2.25, Right: 41, Bottom: 17}
	checks := func(p drawing.Point) bool {
		return box.Has(p) && (int(math.Floor(p.X/3))+int(math.Floor(p.Y/2)))%3 != 0
	}
	spot := func() float64 { return float64(random.IntN(160)-40) / 2 }
	found := 0
	for range 20_000 {
		l := []drawing.Point{{X: spot(), Y: spot()}, {X: spot(), Y: spot()}, {X: spot(), Y: spot()}}
		switch random.IntN(4) {
		case 0:
			l[1].X = l[0].X // upright
		case 1:
			l[1].Y = l[0].Y
		case 2:
			l[2] = l[1]
		}
		want := kept(l, everywhere, checks)
		if !assert.Equal(t, want, kept(l, box, checks), "%v", l) {
			return
		}
		found += len(want)
	}
	assert.Greater(t, found, 10_000)
}
