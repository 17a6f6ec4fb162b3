package quality

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// The lowest, the highest and the zeros are counted of the cells that have a height.
func TestHeightsAreCountedOfCellsThatHaveOne(t *testing.T) {
	nan := float32(math.NaN())
	g := must(terrain.NewGrid([]float32{nan, 3, 5, 3, 0, 7, nan, 7, 7}, 3, 3, 1, 1))
	heights, n := heightRange(g, nil)
	assert.Equal(t, 7, n)
	assert.Equal(t, []sharedHeight{{0, 1}, {7, 3}}, heights)
	g.Z0 = -5 // 0 m is 5
	heights, _ = heightRange(g, nil)
	assert.Equal(t, []sharedHeight{{0, 1}, {5, 1}, {7, 3}}, heights)
}

// Many lines are told with their number, the cells of all and the middle step.
func TestManySeamsAreTold(t *testing.T) {
	lines := []seam{{"rows", 7, 1, 100, 0.5}, {"rows", 9, 1, 160, 0.1}, {"rows", 30, 1, 40, 0.3}}
	assert.Equal(t, seam{"rows", 7, 3, 300, 0.3}, many(lines))
}

// Heights in centimeters are stairs, but none that make treads of gentle ground: a pond among them is
// water like any other.
func TestAPondAmongCentimeters(t *testing.T) {
	g := gentle(t, 200, 200, 1, func(h float64, c, r int) float64 {
		if disc(c, r, 100, 100, 15) {
			return 299
		}
		return math.Round(h*100) / 100
	})
	l := must(NewLook(context.Background(), g))
	s, stepped := l.Stairs()
	require.True(t, stepped)
	require.Equal(t, 0.01, s.QuantumM)
	require.Len(t, l.Water().List, 1)
	assert.False(t, l.Water().List[0].Doubtful)
	assert.InDelta(t, math.Pi*225, l.Water().List[0].AreaM2, 20)
}

// On columns that grow wider to the east a patch has the area of its own.
func TestAreasOnColumnsThatGrowWider(t *testing.T) {
	const f = 1 / 298.257223563
	const lonM = 6378137 * math.Pi / 180
	frame, err := terrain.NewFrame(1, 0, 0, 100, 40, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells { // x = 2 c + c²/25, y = 3 r
			out[i] = [2]float64{(2*c[0] + c[0]*c[0]/25) / lonM, -3 * c[1] / (lonM * (1 - f) * (1 - f))}
		}
		return out, nil
	})
	require.NoError(t, err)
	g := gridOf(t, 60, 30, 1, func(c, r int) float64 {
		if c >= 10 && c < 20 && r >= 5 && r < 15 {
			return 299
		}
		return 300 + 0.001*float64(r*60+c)
	})
	g.Frame, g.Col0, g.Row0 = frame, 20, 8
	w := waterOf(g, nil, false, resampling{}, nil)
	require.Len(t, w.List, 1)
	// From column 30 to 40: 100 m² of y to 80 + 64 - 60 - 36 m of x.
	assert.InEpsilon(t, 30*(20+(1600-900)/25.0), w.List[0].AreaM2, 1e-3)
}
