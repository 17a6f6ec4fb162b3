package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// The sheet says where the error comes from that what is sure goes by, and what cells hide.
func TestAnErrorThatWasMeasuredIsToldSo(t *testing.T) {
	e := zoning.ElevationError{SigmaM: 0.026, From: "measured from the raster: smooth", Measured: true, Unseen: "cells of 5 m hide slope"}
	assert.Equal(t, "sure at 90%; error measured from the raster: smooth; cells of 5 m hide slope", errorText(e))
	e.Measured = false
	assert.Equal(t, "sure at 90%, with heights good to 0.026 m: measured from the raster: smooth; cells of 5 m hide slope", errorText(e))
}

// What bounds slopes says nothing of how well heights lie on the whole: contours drawn by it
// would be finer than the survey.
func TestContoursGoByTheErrorOfHeights(t *testing.T) {
	m := &zoning.ZoneMap{Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}, Error: zoning.ElevationError{SigmaM: 0.026}}
	assert.Equal(t, 0.026, heightErrorM(m), "as given")
	m.Error.Measured = true
	assert.InDelta(t, 0.30/1.96, heightErrorM(m), 1e-9, "as assumed of lidar under cover")
	m.Sources = nil
	assert.Equal(t, 0.026, heightErrorM(m))
}
