package flow

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

// Cells off the grid panicked.
func TestCrossingsOffTheGridAreRefused(t *testing.T) {
	d := &Drainage{Cols: 3, Rows: 2}
	for _, way := range [][]int{{-1}, {6}, {0, 99}, {math.MinInt, 2}} {
		_, err := d.Crossings(way)
		assert.ErrorContains(t, err, "the grid's are 0 to 5", way)
	}
	for _, d := range []*Drainage{nil, {}, {Cols: -3, Rows: -2}} {
		_, err := d.Crossings([]int{0})
		assert.ErrorContains(t, err, "that of no cells")
	}
	n, err := d.Crossings(nil)
	assert.NoError(t, err)
	assert.Zero(t, n)
}

func TestDrainRefusesABrokenGrid(t *testing.T) {
	for _, g := range []*terrain.Grid{nil, {}, {Cols: 2, Rows: 2, Stride: 2, Z: make([]float32, 4)}} {
		_, err := Drain(context.Background(), g, Options{})
		assert.Error(t, err)
	}
	sound := must(terrain.NewGrid(make([]float32, 16), 4, 4, 10, 10))
	for _, v := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -5} {
		var none context.Context
		d, err := Drain(none, sound, Options{LineM2: v, HollowDepthM: v, HollowM2: v})
		assert.NoError(t, err)
		assert.Empty(t, d.Lines, v)
	}
}
