package site_test

import (
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/site"
)

// A feature is told by its place, and by its name where it has one.
func TestTitles(t *testing.T) {
	assert.Equal(t, "feature 3", site.Title(3, ""))
	assert.Equal(t, "feature 3 (Pond)", site.Title(3, "Pond"))
}

// Each attribute a kind takes is read into its own figure, in meters, kPa, kg and kV.
func TestEveryAttributeIsRead(t *testing.T) {
	said := map[string]string{"name": "Here", "setback": "10m", "bears": "50kPa", "stem": "0.3m", "typical": "0.2m", "tall": "8m", "stems": "400/acre",
		"class": "heavy", "kv": "69kV", "width": "3.5m", "weight": "18000kg", "height": "4.1m"}
	value := func(attribute string) string { return said[attribute] }
	gate, err := site.Describe(site.Gate, func(a string) string {
		if a == "setback" {
			return ""
		}
		return said[a]
	})
	require.NoError(t, err)
	assert.Equal(t, "Here", gate.Name)
	assert.InDelta(t, 3.5, gate.WidthM, 1e-9)
	assert.InDelta(t, 4.1, gate.HeightM, 1e-9)
	assert.InDelta(t, 18000, gate.WeightKg, 1e-6)
	line, err := site.Describe(site.OverheadLine, value)
	require.NoError(t, err)
	assert.Equal(t, 69.0, line.KV)
	assert.Equal(t, 10.0, line.Setback.WidthM)
	takes := map[site.Kind][]string{
		site.Gate: {"width", "weight", "height"}, site.Path: {"setback"}, site.Cover: {"class", "stem", "typical", "tall", "stems"},
		site.OverheadLine: {"setback", "kv"}, site.Travel: nil,
	}
	for kind, want := range takes {
		for _, a := range site.Attributes {
			assert.Equal(t, a == "name" || slices.Contains(want, a), kind.Takes(a), "%s of %s", a, kind)
		}
		assert.False(t, kind.Takes("color"))
	}
}

// The cells that a line runs through, and no other; what cannot be laid is refused.
func TestTouchedCells(t *testing.T) {
	g := field(t, 6, 4, 1, 0)
	var cells []int
	require.NoError(t, site.Touched(g, orb.LineString{at(g, 1.5, 1.5), at(g, 3.5, 1.5)}, func(i int) { cells = append(cells, i) }))
	slices.Sort(cells)
	assert.Equal(t, []int{7, 8, 9}, slices.Compact(cells))
	assert.Error(t, site.Touched(nil, orb.Point{}, func(int) {}))
	assert.Error(t, site.Touched(g, nil, func(int) {}))
}
