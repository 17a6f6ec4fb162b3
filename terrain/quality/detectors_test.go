package quality

import (
	"context"
	"errors"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Each kind is silenced by the kinds that explain it and by no other: the ground has it, and
// the look is told from what the grid was resampled.
func TestWhichDoubtSilencesWhich(t *testing.T) {
	plane := func(c, r int) float64 { return 300 + 0.0501*float64(c) + 0.0307*float64(r) }
	ground := map[string]*terrain.Grid{
		DoubtSurface: spiked(t, 1, 400, 0.8),
		DoubtFeet:    gridOf(t, 60, 20, 2, func(c, r int) float64 { return 100 + 2.4*float64(c) }),
		DoubtSeam:    gridOf(t, 256, 256, 1, func(c, r int) float64 { return plane(c, r) + over(r >= 100) }),
		DoubtStripes: gridOf(t, 256, 256, 1, func(c, r int) float64 { return plane(c, r) + 0.5*over(r%8 < 4) }),
	}
	silenced := map[string][]string{
		"": nil, DoubtSmooth: nil,
		DoubtBlocks: {DoubtSurface, DoubtFeet, DoubtSeam, DoubtStripes},
		DoubtFacets: {DoubtStripes},
	}
	for kind, g := range ground {
		for from, silent := range silenced {
			l := &Look{rough: new(roughOnce), grid: g, water: &Patches{}, resampled: from != "", coarser: resampling{kind: from}}
			want := []string{}
			if !slices.Contains(silent, kind) {
				want = append(want, kind)
			}
			if from != "" {
				want = append(want, from)
			}
			assert.ElementsMatch(t, want, kinds(must(l.Doubts(t.Context(), kind == DoubtFeet))), "%s, resampled as %q", kind, from)
		}
	}
	// Boulders as steep as feet: of the two the surface is told.
	rough := &Look{rough: new(roughOnce), grid: gridOf(t, 100, 100, 2, func(c, r int) float64 { return 100 + 3*float64(c) + 4*over((c+r)%3 == 0) }), water: &Patches{}}
	_, steep := findFeet(rough.grid)
	require.True(t, steep)
	told := must(rough.Doubts(t.Context(), true))
	assert.Equal(t, []string{DoubtSurface}, kinds(told))
	assert.Contains(t, told[0].Words, ", or feet taken for meters")
	assert.NotContains(t, must(rough.Doubts(t.Context(), false))[0].Words, "feet")
}

// An embedder's detector has the shape of the built-in ones: it is asked after them of the same
// look, silenced as it says, and may be silenced by what they found.
func TestADetectorOfSomebodyElse(t *testing.T) {
	g := spiked(t, 1, 400, 0.8)
	look := must(NewLook(t.Context(), g))
	var asked []bool
	spikes := func(_ context.Context, l *Look) ([]Doubt, error) {
		assert.Same(t, g, l.Grid())
		assert.Same(t, look.Water(), l.Water())
		asked = append(asked, l.AssumedMetres())
		return []Doubt{{"spikes", "400 cells stand alone", 400}, {"birds", "and birds", 1}}, nil
	}
	told := must(look.Doubts(t.Context(), false, Detector{Find: spikes}))
	n := len(told)
	assert.Equal(t, []Doubt{{"spikes", "400 cells stand alone", 400}, {"birds", "and birds", 1}}, told[n-2:])
	assert.Equal(t, must(look.Doubts(t.Context(), false)), told[:n-2], "the others are told as before")
	assert.Contains(t, kinds(told), DoubtSurface)
	must(Doubts(g, true, Detector{Find: func(_ context.Context, l *Look) ([]Doubt, error) {
		asked = append(asked, l.AssumedMetres())
		return nil, nil
	}}))
	told = must(look.Doubts(t.Context(), true, Detector{Find: spikes, Unless: map[string][]string{"spikes": {DoubtSeam, DoubtSurface}}}))
	assert.Equal(t, "birds", told[len(told)-1].Kind)
	assert.NotContains(t, kinds(told), "spikes")
	assert.Equal(t, []bool{false, true, true}, asked)

	broken := errors.New("broken")
	_, err := look.Doubts(t.Context(), true, Detector{Find: func(context.Context, *Look) ([]Doubt, error) { return nil, broken }})
	assert.ErrorIs(t, err, broken)
	_, err = look.Doubts(t.Context(), true, Detector{})
	assert.ErrorContains(t, err, "finds nothing: its Find is nil")
	Detectors()[0].Find = nil
	_, err = look.Doubts(t.Context(), true)
	assert.NoError(t, err, "the list was the caller's")
}

// What cannot be used ended the program by a panic.
func TestGridsThatCannotBeUsed(t *testing.T) {
	entries := map[string]func(g *terrain.Grid) error{
		"NewLook":    func(g *terrain.Grid) error { _, err := NewLook(context.Background(), g); return err },
		"Doubts":     func(g *terrain.Grid) error { _, err := Doubts(g, true); return err },
		"Water":      func(g *terrain.Grid) error { _, err := Water(g); return err },
		"FindStairs": func(g *terrain.Grid) error { _, _, err := FindStairs(g); return err },
		"FlatAtEdge": func(g *terrain.Grid) error { _, err := FlatAtEdge(g); return err },
		"Look.Doubts": func(g *terrain.Grid) error {
			_, err := (&Look{rough: new(roughOnce), grid: g, water: &Patches{}}).Doubts(context.Background(), true)
			return err
		},
	}
	for i, d := range Detectors() {
		entries["detector "+string(rune('0'+i))] = func(g *terrain.Grid) error {
			_, err := d.Find(context.Background(), &Look{rough: new(roughOnce), grid: g, water: &Patches{}})
			return err
		}
	}
	spoilt := func(spoil func(g *terrain.Grid)) *terrain.Grid {
		g := gridOf(t, 20, 20, 1, func(c, r int) float64 { return 5 })
		spoil(g)
		return g
	}
	for words, g := range map[string]*terrain.Grid{
		"no grid":               nil,
		"do not fill":           {},
		"399 heights":           spoilt(func(g *terrain.Grid) { g.Z = g.Z[:399] }),
		"20 columns × 21 rows":  spoilt(func(g *terrain.Grid) { g.Rows = 21 }),
		"-20 columns":           spoilt(func(g *terrain.Grid) { g.Cols = -20 }),
		"20 rows, 19 apart":     spoilt(func(g *terrain.Grid) { g.Stride = 19 }),
		"the grid of heights h": spoilt(func(g *terrain.Grid) { g.Frame = nil }),
	} {
		for name, entry := range entries {
			assert.NotPanics(t, func() { assert.ErrorContains(t, entry(g), words, name) }, "%s: %s", name, words)
		}
	}
	for _, l := range []*Look{nil, {}} {
		_, err := l.Doubts(context.Background(), true)
		assert.EqualError(t, err, "nobody has looked at the grid: NewLook does")
	}
	_, err := terrain.NewGrid(make([]float32, 9), 3, 3, math.NaN(), 1)
	assert.Error(t, err, "cells of NaN m are no grid's")
	var none *Patches
	assert.Nil(t, none.Mask(true))
	assert.True(t, none.On(nil))
	assert.NotPanics(t, func() { none.Runs(func(Patch, int, int, int) {}) })
	assert.Zero(t, Median(nil))
}
