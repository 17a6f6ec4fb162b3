package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

func TestYardstickComputesWhatTheKernelDoes(t *testing.T) {
	const cols, rows = 60, 40
	ground, z := newRelief(cols), make([]float32, cols*rows)
	for r := range rows {
		ground.row(z[r*cols:(r+1)*cols], r)
	}
	grid, err := terrain.NewGrid(z, cols, rows, 1, 1)
	require.NoError(t, err)
	field, plain := must(slope.Of(grid)), make([]float32, cols*rows)
	plainHorn(plain, z, cols, rows)
	for r := 1; r < rows-1; r++ {
		for c := 1; c < cols-1; c++ {
			assert.InDelta(t, field.Squared[r*cols+c], plain[r*cols+c], 1e-6)
		}
	}
}
