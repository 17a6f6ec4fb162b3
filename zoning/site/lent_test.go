package site_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// lent is a feature of a map of others.
func lent(f site.Feature) site.Feature {
	f.From = site.OpenStreetMap
	return f
}

// Each kind that is closed keeps its strip (common practice, no source): half of a right-of-way
// of 100 ft and of 50 ft, 30 ft around a tower, a machine's length from an edge.
func TestClosedKindsAndTheirStrips(t *testing.T) {
	g := field(t, 60, 3, 1, 0)
	for kind, feet := range map[site.Kind]float64{site.Water: 0, site.Railway: 50, site.Pipeline: 25, site.Tower: 30, site.Edge: zoning.DefaultFootprintM / zoning.MetresPerFoot} {
		f := site.Feature{Kind: kind, Geometry: orb.LineString{at(g, 0.5, 0.2), at(g, 0.5, 2.8)}}
		l := laid(t, g, f)
		require.NotNil(t, l.Closed, kind)
		assert.True(t, l.Closed[60], kind)
		assert.False(t, l.Closed[61], kind)
		assert.InDelta(t, feet*zoning.MetresPerFoot, f.KeptBack().WidthM, 1e-12, kind)
		for c := 1; c < 60; c++ { // the middle of cell c lies c meters from the line
			within := l.Setback != nil && l.Setback[60+c]
			assert.Equal(t, float64(c) <= feet*zoning.MetresPerFoot, within, "%s, %d m", kind, c)
		}
		f.Setback.WidthM = 5
		l = laid(t, g, f)
		assert.True(t, l.Setback[65] && !l.Setback[66], "%s: its own setback goes before that", kind)
	}
	l := laid(t, g, site.Feature{Kind: site.People, Geometry: at(g, 5, 1)})
	assert.Nil(t, l.Closed)
	assert.Zero(t, l.Away)
}

func laid(t *testing.T, g *terrain.Grid, features ...site.Feature) *site.Ground {
	t.Helper()
	l, err := site.Lay(features, g)
	require.NoError(t, err)
	return l
}

// Who draws a way in over a mapped stream has seen the crossing; what he draws as
// closed stays closed, in whatever order the files come.
func TestDrawnWaysOpenWhatAMapCloses(t *testing.T) {
	g := field(t, 12, 3, 1, 0)
	stream := lent(site.Feature{Kind: site.Water, Geometry: orb.LineString{at(g, 0.1, 1.5), at(g, 11.9, 1.5)}, Setback: site.Setback{WidthM: 1}})
	way := site.Feature{Kind: site.Travel, Geometry: orb.Polygon{ring(g, 4, 0, 7, 0, 7, 3, 4, 3)}}
	own := site.Feature{Kind: site.NoGo, Geometry: at(g, 5.5, 1.5)}
	for _, features := range [][]site.Feature{{stream, way, own}, {own, way, stream}} {
		l := laid(t, g, features...)
		assert.Equal(t, "\n............\n####.#.#####\n............", drawn(g, of(l.Closed)))
		assert.Equal(t, "\n####...#####\n####...#####\n####...#####", drawn(g, of(l.Setback)))
	}
	bridge := site.Feature{Kind: site.Bridge, WeightKg: 20000, Geometry: orb.LineString{at(g, 5.5, 0.1), at(g, 5.5, 2.9)}}
	l := laid(t, g, stream, bridge)
	assert.Equal(t, "\n............\n#####.######\n............", drawn(g, of(l.Closed)))
	// One that the map itself shows opens nothing.
	l = laid(t, g, stream, lent(bridge))
	assert.Equal(t, "\n............\n############\n............", drawn(g, of(l.Closed)))
}

// A map holds the neighborhood: that most of it lies off the ground is no slip.
func TestWhatOfAMapLiesAwayIsNotCounted(t *testing.T) {
	g := field(t, 4, 4, 1, 0)
	far := site.Feature{Kind: site.NoGo, Geometry: at(g, 5000, 5000)}
	assert.Equal(t, 1, laid(t, g, far, lent(far)).Away)
}

// Of what was drawn twice the drawn one counts, with its figures.
func TestAMapYieldsToWhatWasDrawn(t *testing.T) {
	g := field(t, 400, 400, 1, 0)
	line := func(kind site.Kind, row, from, to, kV float64) site.Feature {
		return site.Feature{Kind: kind, KV: kV, Geometry: orb.LineString{at(g, from, row), at(g, to, row)}}
	}
	cols := func(f site.Feature) (out []float64) {
		for _, p := range f.Geometry.(orb.MultiLineString) {
			for _, q := range p {
				c, _ := g.Frame.Cell(q[0], q[1])
				out = append(out, c)
			}
		}
		return out
	}
	own := line(site.OverheadLine, 100, 100, 200, 12)
	mapped := lent(line(site.OverheadLine, 110, 0, 400, 0))
	kept, gave := site.Yield([]site.Feature{mapped, own})
	assert.Equal(t, 1, gave)
	require.Len(t, kept, 2)
	// 15 m around the drawn line's ends, 10 m to its side: 11.2 m along, to the step of 5 m.
	got := cols(kept[0])
	require.Len(t, got, 4)
	assert.InDelta(t, 0, got[0], 1e-6)
	assert.InDelta(t, 100-11.2, got[1], 5)
	assert.InDelta(t, 200+11.2, got[2], 5)
	assert.InDelta(t, 400, got[3], 1e-6)

	for name, c := range map[string]struct {
		own, mapped site.Feature
		stays       bool
	}{
		"the same line":             {own, lent(line(site.OverheadLine, 105, 100, 200, 12)), false},
		"a line of higher voltage":  {own, lent(line(site.OverheadLine, 105, 100, 200, 115)), true},
		"a line farther off":        {own, lent(line(site.OverheadLine, 116, 100, 200, 0)), true},
		"a path drawn as a road":    {line(site.Road, 100, 0, 200, 0), lent(line(site.Path, 105, 100, 150, 0)), false},
		"a road beside a line":      {own, lent(line(site.Road, 100, 100, 200, 0)), true},
		"a gate":                    {site.Feature{Kind: site.Gate, WidthM: 4, Geometry: at(g, 50, 50)}, lent(site.Feature{Kind: site.Gate, Geometry: at(g, 55, 50)}), false},
		"a house on a drawn one":    {site.Feature{Kind: site.Building, Geometry: orb.Polygon{ring(g, 10, 10, 30, 10, 30, 30, 10, 30)}}, lent(site.Feature{Kind: site.Building, Geometry: orb.MultiPolygon{{ring(g, 12, 12, 32, 12, 32, 32, 12, 32)}}}), false},
		"a house beside it":         {site.Feature{Kind: site.Building, Geometry: orb.MultiPolygon{{ring(g, 10, 10, 30, 10, 30, 30, 10, 30)}}}, lent(site.Feature{Kind: site.Building, Geometry: orb.MultiPolygon{{ring(g, 31, 10, 50, 10, 50, 30, 31, 30)}}}), true},
		"no-go on no-go":            {site.Feature{Kind: site.NoGo, Geometry: at(g, 50, 50)}, lent(site.Feature{Kind: site.NoGo, Geometry: at(g, 50, 50)}), true},
		"a pipeline by its drawing": {line(site.Pipeline, 100, 100, 200, 0), lent(line(site.Pipeline, 105, 100, 200, 0)), true},
	} {
		kept, gave := site.Yield([]site.Feature{c.own, c.mapped})
		if c.stays {
			assert.Equal(t, []site.Feature{c.own, c.mapped}, kept, name)
			assert.Zero(t, gave, name)
		} else {
			assert.Equal(t, []site.Feature{c.own}, kept, name)
			assert.Equal(t, 1, gave, name)
		}
	}
}
