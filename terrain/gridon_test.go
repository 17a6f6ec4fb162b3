package terrain_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// oneArcSecond places cells of one arc-second south-east of 80° W, 36° N.
func oneArcSecond(cells [][2]float64) ([][2]float64, error) {
	places := make([][2]float64, len(cells))
	for i, c := range cells {
		places[i] = [2]float64{-80 + c[0]/3600, 36 - c[1]/3600}
	}
	return places, nil
}

func ExampleNewGridOn() {
	frame, err := terrain.NewFrame(16, 0, 0, 3, 2, oneArcSecond)
	if err != nil {
		panic(err)
	}
	grid, err := terrain.NewGridOn(frame, []float64{
		1203.25, 1204.50, 1205.75,
		1203.00, -9999, 1205.50,
	}, 3, 2)
	if err != nil {
		panic(err)
	}
	wide, tall := grid.MiddleCellM()
	fmt.Printf("cells of %.1f × %.1f m, %d of them without a height\n", wide, tall, grid.Voids())
	fmt.Printf("%.2f m, kept as %.2f m above %d m\n", grid.At(2, 0), grid.Z[2], grid.Z0)
	// Output:
	// cells of 25.0 × 30.8 m, 1 of them without a height
	// 1205.75 m, kept as 2.75 m above 1203 m
}

// A millimetre at 3 300 m outlives float32, since Z0 is taken off before; a void first
// gives no Z0, and what no ground has is a void.
func TestHeightsOnAFrame(t *testing.T) {
	frame := must(terrain.NewFrame(16, 0, 0, 4, 1, oneArcSecond))
	heights := []float64{math.NaN(), 3300.001, 3299.5, 9001}
	g := must(terrain.NewGridOn(frame, heights, 4, 1))
	assert.Equal(t, 3300, g.Z0)
	assert.InDelta(t, 3300.001, g.At(1, 0), 1e-9)
	assert.Equal(t, 3299.5, g.At(2, 0))
	assert.Equal(t, 2, g.Voids())
	assert.Equal(t, 9001.0, heights[3], "the caller's heights stay as they are")
	require.NoError(t, g.Check())

	below := must(terrain.NewGridOn(frame, []float64{-3.25, 0, 1, 2}, 4, 1))
	assert.Equal(t, -4, below.Z0)
	assert.Equal(t, float32(0.75), below.Z[0])

	_, err := terrain.NewGridOn(frame, heights, 3, 1)
	assert.EqualError(t, err, "4 heights do not fill 3 columns × 1 rows")
	_, err = terrain.NewGridOn(nil, heights, 4, 1)
	assert.EqualError(t, err, "there is no frame to put heights on")
	_, err = terrain.NewGridOn(&terrain.Frame{}, heights, 4, 1)
	assert.EqualError(t, err, "there is no frame to put heights on")
}

// The inverse gives a cell's sides and area as the metric has them, on axes that are not
// square; the plane lays the same lengths out.
func TestInverseOfAMetric(t *testing.T) {
	// By hand: cells 3 m along the rows; a row lies 5 m down and 2 m to the side of the one
	// before, so e = 9, f = 6, g = 29 and the area 15 m².
	m := terrain.Metric{A: 29.0 / 225, B: -6.0 / 225, C: 9.0 / 225}
	e, f, g := m.Inverse()
	assert.InDeltaSlice(t, []float64{9, 6, 29}, []float64{e, f, g}, 1e-12)
	along, side, down := m.Plane()
	assert.InDeltaSlice(t, []float64{3, 2, 5}, []float64{along, side, down}, 1e-12)
	assert.InDelta(t, 15, m.CellAreaM2(), 1e-12)
}
