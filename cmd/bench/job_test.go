package main

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

func TestParcelIs45Acres(t *testing.T) {
	ring, err := parcelRing(corners[:])
	require.NoError(t, err)
	assert.True(t, ring.Closed())
	assert.Equal(t, orb.CCW, ring.Orientation())
	assert.InEpsilon(t, 45, coverage.Acres(orb.MultiPolygon{{ring}}), 1e-3)

	// The same from the corners' grid coordinates alone. The scale of UTM at x
	// metres from the central meridian is 0.9996·(1 + x²/2R²) to first order
	// (textbook transverse Mercator, from memory), with R = 6 371 000 m.
	twice := 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		twice += a[0]*b[1] - b[0]*a[1]
	}
	x := (westM + rasterSize/2 - 500000) / 6371000
	scale := 0.9996 * (1 + x*x/2)
	const squareMetresPerAcre = 4046.8564224 // international: 43560 ft² of 0.3048 m
	assert.InEpsilon(t, 45, twice/2/(scale*scale)/squareMetresPerAcre, 1e-3)
}

func TestWindowHoldsTheParcelAndItsHalo(t *testing.T) {
	assert.Equal(t, window{Col: 7, Row: 17, Cols: 9, Rows: 16}, around([][2]float64{{10.5, 20}, {12.25, 30}, {11, 25}}))
}

func TestGrainIsEvenNoise(t *testing.T) {
	// Uniform from -1 to 1: mean 0, mean square 1/3.
	var sum, squares float64
	const n = 300
	for row := range n {
		for col := range n {
			g := grain(col, row)
			sum, squares = sum+g, squares+g*g
		}
	}
	assert.InDelta(t, 0, sum/(n*n), 0.01)
	assert.InDelta(t, 1.0/3, squares/(n*n), 0.01)
}
