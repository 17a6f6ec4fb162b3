package mapping_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/site"
)

// Elevation, lots and features that are none panicked, some of them in a goroutine that no
// caller can recover.
func TestGroundOfBrokenPartsIsAnError(t *testing.T) {
	nan := math.NaN()
	_, at := ruledGround(t)
	lot := zoning.Lot{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{{at(10, 110), at(140, 110), at(140, 10), at(10, 110)}}}}}
	for _, c := range []struct {
		words string
		spoil func(*terrain.Elevation) *terrain.Elevation
	}{
		{"there is no elevation", func(*terrain.Elevation) *terrain.Elevation { return nil }},
		{"there is no elevation", func(e *terrain.Elevation) *terrain.Elevation { e.Grid = nil; return e }},
		{"there is no elevation", func(e *terrain.Elevation) *terrain.Elevation { e.Sources = nil; return e }},
		{"17999 heights do not fill", func(e *terrain.Elevation) *terrain.Elevation { e.Grid.Z = e.Grid.Z[1:]; return e }},
		{"has no frame", func(e *terrain.Elevation) *terrain.Elevation { e.Grid.Frame = nil; return e }},
		{"the field From has 5 values for 18000 cells", func(e *terrain.Elevation) *terrain.Elevation { e.From = make([]uint16, 5); return e }},
		{"the field Stepped has 5 values", func(e *terrain.Elevation) *terrain.Elevation { e.Stepped = make([]bool, 5); return e }},
		{"cell 7 comes from source 1 of 1", func(e *terrain.Elevation) *terrain.Elevation {
			e.From = make([]uint16, cols*rows)
			e.From[7] = 1
			return e
		}},
		{"measure NaN × 2 m", func(e *terrain.Elevation) *terrain.Elevation { e.Sources[0].CellM = [2]float64{nan, 2}; return e }},
		{"measure 0 × 0 m", func(e *terrain.Elevation) *terrain.Elevation { e.Sources[0].CellM = [2]float64{}; return e }},
		{"measure 2 × +Inf", func(e *terrain.Elevation) *terrain.Elevation {
			e.Sources[0].CellM = [2]float64{2, math.Inf(1)}
			return e
		}},
	} {
		made := func() *terrain.Elevation {
			e, err := elevation()
			require.NoError(t, err)
			return c.spoil(e)
		}
		_, err := mapping.NewGround(made(), []zoning.Lot{lot}, nil)
		assert.ErrorContains(t, err, c.words, "NewGround")
		_, err = mapping.WorthOf(made(), fleet.Default(), mapping.Options{})
		assert.ErrorContains(t, err, c.words, "WorthOf")
		_, err = bySlope(made(), fleet.Default(), terrain.Window{Col1: 1, Row1: 1}, false, mapping.Options{})
		assert.ErrorContains(t, err, c.words, "BySlope")
		g, _ := ruledGround(t)
		assert.ErrorContains(t, g.AddSurface(made()), c.words, "AddSurface")
		assert.ErrorIs(t, g.AddSurface(made()), mapping.ErrSurface)
		g.Elevation = made()
		_, err = mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
		assert.Error(t, err, "Map")
		_, err = g.With(nil)
		assert.Error(t, err, "With")
		assert.Error(t, g.AddSurface(made()))
	}

	whole := func() *terrain.Elevation { e, _ := elevation(); return e }
	_, err := mapping.NewGround(whole(), nil, nil)
	assert.ErrorContains(t, err, "there is no lot")
	_, err = mapping.Around(nil, nil)
	assert.ErrorContains(t, err, "there is no lot")
	assert.NotPanics(t, func() { mapping.Reach(nil) })
	nowhere := []site.Feature{{Kind: site.Travel}}
	_, err = mapping.NewGround(whole(), []zoning.Lot{lot}, nowhere)
	assert.ErrorContains(t, err, "there is no geometry")
	_, err = mapping.Around([]zoning.Lot{lot}, nowhere)
	assert.ErrorContains(t, err, "there is no geometry")
	g, _ := ruledGround(t)
	_, err = g.With(nowhere)
	assert.ErrorContains(t, err, "there is no geometry")
	for _, cell := range [][2]float64{{}, {nan, 1}, {1, math.Inf(1)}, {-1, 1}} {
		_, _, err = mapping.BeyondCells(fleet.Default(), cell, mapping.Options{})
		assert.ErrorContains(t, err, "give their sides in meters")
	}
}

// Lots that are nowhere are left out with a word, or refused; none panics or takes all
// memory.
func TestLotsOfBrokenCorners(t *testing.T) {
	nan := math.NaN()
	_, at := ruledGround(t)
	whole := orb.Ring{at(10, 110), at(140, 110), at(140, 10), at(10, 10), at(10, 110)}
	for name, ground := range map[string]orb.MultiPolygon{
		"nil": nil, "no ring": {{}}, "no corner": {{{}}}, "one corner": {{{at(5, 5)}}}, "NaN": {{{at(10, 110), {nan, nan}, at(140, 10), at(10, 110)}}},
		"infinite": {{{at(10, 110), {math.Inf(1), 0}, at(140, 10), at(10, 110)}}}, "huge": {{{at(10, 110), {1e300, 1e300}, at(140, 10), at(10, 110)}}},
		"far": {{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}},
	} {
		e, err := elevation()
		require.NoError(t, err)
		broken := zoning.Lot{Parcel: zoning.Parcel{Lot: name, Ground: ground}}
		alone, err := mapping.NewGround(e, []zoning.Lot{broken}, nil)
		if err == nil {
			_, err = mapping.Map(t.Context(), alone, fleet.Default(), mapping.Options{})
		}
		assert.Error(t, err, name)
		both, err := mapping.NewGround(e, []zoning.Lot{{Parcel: zoning.Parcel{Lot: "7", Ground: orb.MultiPolygon{{whole}}}}, broken}, nil)
		if err != nil {
			continue
		}
		m, err := mapping.Map(t.Context(), both, fleet.Default(), mapping.Options{})
		require.NoError(t, err, name)
		require.Len(t, m.Lots, 1, name)
		assert.Contains(t, strings.Join(m.Warnings, "\n"), "left out", name)
	}
}

// A map of other ground, or none, has no answer for a spot.
func TestWhyOfAnotherMapIsAnError(t *testing.T) {
	g, at := ruledGround(t)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	_, err = g.Why(m, at(60, 60))
	require.NoError(t, err)
	for name, spoil := range map[string]func(m *zoning.ZoneMap){
		"no cells": func(m *zoning.ZoneMap) { m.Cells = nil },
		"no slope": func(m *zoning.ZoneMap) { m.Field = nil },
		"masks":    func(m *zoning.ZoneMap) { c := *m.Cells; c.Masks = c.Masks[1:]; m.Cells = &c },
		"slopes":   func(m *zoning.ZoneMap) { f := *m.Field; f.Squared = f.Squared[1:]; m.Field = &f },
		"machines": func(m *zoning.ZoneMap) { m.Fleet = m.Fleet[1:] },
		"reasons": func(m *zoning.ZoneMap) {
			c := *m.Cells
			c.Lost = append([][]zoning.Why{nil}, c.Lost[1:]...)
			m.Cells = &c
		},
		"drawn": func(m *zoning.ZoneMap) { m.Drawn = m.Fleet[1:] },
	} {
		other := *m
		spoil(&other)
		_, err := g.Why(&other, at(60, 60))
		assert.Error(t, err, name)
	}
	_, err = g.Why(nil, at(60, 60))
	assert.ErrorContains(t, err, "there is no map")
	_, err = (*mapping.Ground)(nil).Why(m, at(60, 60))
	assert.ErrorContains(t, err, "there is no map")
	_, err = g.Why(m, orb.Point{math.NaN(), math.NaN()})
	assert.ErrorContains(t, err, "off the ground that was read")
	g.EdgeAcres = []float64{1, 2}
	_, err = mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	assert.ErrorContains(t, err, "EdgeAcres has 2 values for 1 lots")
}

// bySlope judges a part of ground by a judge of its own.
func bySlope(e *terrain.Elevation, machines zoning.Fleet, part terrain.Window, slopes bool, o mapping.Options) (*mapping.SlopeBands, error) {
	j, err := mapping.NewSlopeJudge(machines, o)
	if err != nil {
		return nil, err
	}
	return j.Judge(e, part, slopes)
}
