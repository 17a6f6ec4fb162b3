package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/coverage"
)

func TestTractIs10000Acres(t *testing.T) {
	ring, err := parcelRing(tractCorners[:])
	require.NoError(t, err)
	assert.Equal(t, orb.CCW, ring.Orientation())
	assert.InEpsilon(t, 10000, coverage.Acres(orb.MultiPolygon{{ring}}), 1e-3)
}

func TestTilesThatAWindowTouches(t *testing.T) {
	// Cells 99 to 200 lie on three columns of tiles, rows 300 to 399 on one row.
	assert.Equal(t, []string{"r03-c00.tif", "r03-c01.tif", "r03-c02.tif"}, tilesOf(window{Col: 99, Row: 300, Cols: 102, Rows: 100}))
}

func TestSameZones(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) string {
		path := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
		return path
	}
	a := write("a", `{"summary": "x", "features": [{"n": 1}, {"n": 2}]}`)
	for other, want := range map[string]bool{
		`{"summary": "x", "features": [{"n": 1}, {"n": 2}]}`: true,
		`{"summary": "y", "features": [{"n": 1}, {"n": 2}]}`: true,
		`{"summary": "x", "features": [{"n": 1}, {"n": 3}]}`: false,
		`{"summary": "x", "features": [{"n": 1}]}`:           false,
	} {
		same, _, err := sameZones(a, write("b", other))
		require.NoError(t, err)
		assert.Equal(t, want, same, other)
	}
}
