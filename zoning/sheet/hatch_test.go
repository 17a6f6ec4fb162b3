package sheet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning/palette"
)

// difference is the mean difference of ink between two patterns, 0 to 1, laid
// over each other where they agree best.
func difference(a, b *tile) float64 {
	least := 1.0
	for dy := range tileSide / 2 {
		for dx := range tileSide / 2 {
			sum := 0
			for y := 0; y < tileSide; y++ {
				row := (y + dy) % tileSide * tileSide
				for x := range tileSide {
					sum += abs(int(a[y*tileSide+x]) - int(b[row+(x+dx)%tileSide]))
				}
			}
			least = min(least, float64(sum)/(inkSteps-1)/(tileSide*tileSide))
		}
	}
	return least
}

// No two bands of the largest fleet share a hatching, however it is shifted: in
// black and white it is all that tells them apart.
func TestHatchingsDiffer(t *testing.T) {
	const n = mostMachines
	tiles := make([]*tile, n+palette.Rest-1) // but no-go
	for b := range tiles {
		tiles[b] = patternOf(b, n).tile()
	}
	for a := range tiles {
		assert.Zero(t, difference(tiles[a], tiles[a]))
		for b := range a {
			assert.Greater(t, difference(tiles[a], tiles[b]), 0.08, "bands %d and %d", a, b)
		}
	}
}

// The two bands that are no machine are told at sight without colour: no
// machine has the most ink, no elevation the lightest ground.
func TestNoMachineIsDarkestAndUnknownLightest(t *testing.T) {
	const n = mostMachines
	p := paintsFor(n)
	darkness := func(b int) float64 {
		sum := 0.0
		for _, s := range p.kinds[b+1].tile {
			sum += luminance(p.ground(b+1, relief.FlatLit, int(s)))
		}
		return 1 - sum/(tileSide*tileSide)
	}
	for b := range n {
		assert.Greater(t, darkness(n+palette.ForNone), darkness(b)+0.1, fmt.Sprint("machine ", b))
		assert.Less(t, darkness(n+palette.Unknown), darkness(b), fmt.Sprint("machine ", b))
	}
}

// Tiles repeat without a seam.
func TestTilesRepeat(t *testing.T) {
	for b := range mostMachines + palette.Rest {
		p := patternOf(b, mostMachines)
		for i := 0.5; i < tileSide; i++ {
			for _, j := range []float64{0.5, 7.5, 23.5} {
				assert.InDelta(t, p.away(i, j), p.away(i+tileSide, j), 1e-9, "band %d", b)
				assert.InDelta(t, p.away(j, i), p.away(j, i+tileSide), 1e-9, "band %d", b)
			}
		}
	}
}
