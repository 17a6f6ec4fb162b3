package raster

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const roughSide = 200

// roughGround is ground of hills in hills, by metres, from some 250 m up.
func roughGround(x, y float64) float64 {
	z := 300.0
	for i, wave := 0.0, 420.0; wave > 5; i, wave = i+1, wave/1.9 {
		k := 2 * math.Pi / wave
		z += 0.05 * wave * (math.Sin(k*(x*math.Cos(i)+y*math.Sin(i))+i) + math.Cos(k*(y*math.Cos(2*i)-x*math.Sin(2*i))+2*i)) / 2
	}
	return z
}

// slopeOf is the slope in degrees of a ground, as of the plane through its neighbours.
func slopeOf(ground func(x, y float64) float64) func(x, y float64) float64 {
	return func(x, y float64) float64 {
		p, q := (ground(x+1, y)-ground(x-1, y))/2, (ground(x, y+1)-ground(x, y-1))/2
		return math.Atan(math.Hypot(p, q)) * 180 / math.Pi
	}
}

// aspectOf is the direction in which a ground falls, in degrees.
func aspectOf(ground func(x, y float64) float64) func(x, y float64) float64 {
	return func(x, y float64) float64 {
		return 180 + math.Atan2(ground(x+1, y)-ground(x-1, y), ground(x, y+1)-ground(x, y-1))*180/math.Pi
	}
}

// growth is a stand of trees of 5 to 25 m with glades.
func growth(x, y float64) float64 {
	return math.Max(0, 12+9*math.Sin(x*1.3)*math.Cos(y*1.1)+8*math.Sin(x/6+y/9))
}

// rough is a raster of 1 m of some values.
func rough(values func(x, y float64) float64) dem {
	return dem{
		cols: roughSide, rows: roughSide, grid: northUp(740_000, 4_020_000, 1), crs: "EPSG:26916",
		stored: func(c, r int) float64 { return values(float64(c), float64(r)) },
	}
}

func mustBeNoHeights(t *testing.T, file string, says string) {
	t.Helper()
	err := mustRefuse(t, file, Options{}, says, "give the elevation it was made from")
	require.ErrorIs(t, err, ErrNotHeights)
	// A unit given for the others does not make heights of it.
	_, err = Open(t.Context(), file, Options{Unit: Metre})
	require.ErrorIs(t, err, ErrNotHeights)
}

// Cause: what is derived from heights was mapped as ground where it said itself what it is.
func TestRastersThatSayTheyAreNoHeights(t *testing.T) {
	describe := func(words string) func(*godal.Dataset) {
		return func(ds *godal.Dataset) { require.NoError(t, ds.Bands()[0].SetDescription(words)) }
	}
	for name, says := range map[string]string{
		"dem_slope.tif": "a slope", "ridgeSlope30.tif": "a slope", "SLOPE.TIF": "a slope", "aspect-2019.tif": "an aspect", "my_hillshade10m.tif": "shaded relief",
		"dem_tri.tif": "(TRI)", "tpi.tif": "(TPI)", "vrm_ruggedness.tif": "ruggedness", "lot7_roughness.tif": "roughness", "CHM_2021.tif": "heights of growth", "canopy_height.tif": "heights of growth",
	} {
		mustBeNoHeights(t, rough(roughGround).write(t, name), says)
	}
	for _, name := range []string{"north_slope_dem.tif", "tri_county_lidar.tif", "TriCounty.tif", "slope_county.tif", "trinity.tif", "ridge.tif", "rough_creek.tif"} {
		opened(t, rough(roughGround).write(t, name), Options{})
	}
	for words, says := range map[string]string{
		"slope in percent; of single cells": "a slope", "Terrain Ruggedness Index": "", "Aspect (degrees)": "an aspect", "canopy height model": "heights of growth",
		"Bare earth, for slope and hillshade": "", "Elevation": "",
	} {
		d := rough(roughGround)
		d.finish = describe(words)
		file := d.write(t, "a.tif")
		if says == "" {
			opened(t, file, Options{})
		} else {
			mustBeNoHeights(t, file, says)
		}
	}
	title := rough(roughGround)
	title.finish = func(ds *godal.Dataset) {
		require.NoError(t, ds.SetMetadata("TIFFTAG_IMAGEDESCRIPTION", "hillshade, sun from the north-west"))
	}
	mustBeNoHeights(t, title.write(t, "a.tif"), "shaded relief")

	for _, unit := range []string{"percent", "%", "degrees", "deg", "Degree", "slope %"} {
		mustBeNoHeights(t, declaring(t, rough(roughGround).write(t, "a.tif"), unit), "its unit is")
	}
	bytes := rough(func(x, y float64) float64 { return math.Mod(roughGround(x, y), 256) })
	bytes.kind = godal.Byte
	mustBeNoHeights(t, bytes.write(t, "a.tif"), "8 bits")
	bytes.finish = func(ds *godal.Dataset) { require.NoError(t, ds.SetMetadata("TITLE", "elevation")) }
	opened(t, bytes.write(t, "a.tif"), Options{}) // as the cure says
}

// Cause: a slope raster of an innocent name was mapped as flat ground.
func TestValuesOfASlopeAreNoHeights(t *testing.T) {
	for name, values := range map[string]func(x, y float64) float64{
		"degrees": slopeOf(roughGround), "percent": func(x, y float64) float64 { return 100 * math.Tan(slopeOf(roughGround)(x, y)*math.Pi/180) },
		"aspect": aspectOf(roughGround), "growth": growth,
	} {
		t.Run(name, func(t *testing.T) { mustBeNoHeights(t, rough(values).write(t, "a.tif"), "begin at nothing") })
	}
	d := rough(slopeOf(roughGround))
	d.crs = "EPSG:26916+5703" // whose unit of height is none of the values'
	mustBeNoHeights(t, d.write(t, "a.tif"), "begin at nothing")
	upright := rough(func(x, y float64) float64 { return 90 - 1e-7*x })
	mustBeNoHeights(t, upright.write(t, "a.tif"), "angles of up to 90")

	// Ground is let pass wherever it lies: by the sea, below it, in whole metres, flat.
	for name, values := range map[string]func(x, y float64) float64{
		"by the sea":   func(x, y float64) float64 { return math.Max(0, roughGround(x, y)-290) },
		"around it":    func(x, y float64) float64 { return roughGround(x, y) - 300 },
		"whole meters": func(x, y float64) float64 { return math.Round(math.Max(0, roughGround(x, y)-285)) },
		"flat":         func(x, y float64) float64 { return 3 + 0.2*math.Sin(x*1.7)*math.Sin(y*2.1) },
		"a plane":      func(x, y float64) float64 { return 0.1 * x },
		"all zero":     func(x, y float64) float64 { return 0 },
		"terraces":     func(x, y float64) float64 { return 5 * math.Floor(x/20) },
	} {
		t.Run(name, func(t *testing.T) { opened(t, rough(values).write(t, "a.tif"), Options{}) })
	}
	surface := rough(func(x, y float64) float64 { return 1 + growth(x, y) })
	opened(t, surface.write(t, "a.tif"), Options{Surface: true})
}

// Cause: a folder's derived rasters were taken for tiles. They are left out with a line
// for each, now and when the folder's index is read.
func TestAFolderLeavesOutWhatIsNoHeights(t *testing.T) {
	dir := t.TempDir()
	put := func(name string, d dem) {
		t.Helper()
		require.NoError(t, os.Rename(d.write(t, name), filepath.Join(dir, name)))
	}
	put("ridge.tif", rough(roughGround))
	put("b.tif", rough(slopeOf(roughGround)))
	put("hillshade.tif", rough(roughGround))
	for range 2 {
		c, err := NewCatalogue(t.Context(), []string{dir}, Options{})
		require.NoError(t, err)
		require.Len(t, c.Entries(), 1)
		assert.Equal(t, filepath.Join(dir, "ridge.tif"), c.Entries()[0].Path)
		require.Len(t, c.Warnings, 1)
		assert.Contains(t, c.Warnings[0], "left out as no elevation: 2 of 3 rasters")
		assert.Contains(t, c.Warnings[0], "b.tif: it holds no heights of ground: its values")
		assert.Contains(t, c.Warnings[0], "hillshade.tif: it holds no heights of ground: by its name it is shaded relief")
		c.Close()
	}
	_, err := NewCatalogue(t.Context(), []string{filepath.Join(dir, "b.tif")}, Options{})
	require.ErrorIs(t, err, ErrNotHeights)
}
