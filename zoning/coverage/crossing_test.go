package coverage

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A bow tie given as plain values was cut to one of its wings, 25 m² of 50, without a word.
func TestAParcelThatCrossesItselfIsRefused(t *testing.T) {
	g, err := terrain.NewGrid(make([]float32, 400), 20, 20, 1, 1)
	require.NoError(t, err)
	cells := &Window{Masks: make([]Mask, 400), Cols: 20, Rows: 20, Frame: g.Frame}
	ring := func(corners ...float64) orb.Ring {
		var out orb.Ring
		for i := 0; i < len(corners); i += 2 {
			lon, lat := g.Frame.LonLat(corners[i], corners[i+1])
			out = append(out, orb.Point{lon, lat})
		}
		return append(out, out[0])
	}
	square := ring(5, 5, 5, 15, 15, 15, 15, 5)
	for name, c := range map[string]struct {
		ground orb.MultiPolygon
		m2     float64 // 0 where it is refused
	}{
		"bow tie":                       {orb.MultiPolygon{{ring(5, 5, 15, 15, 15, 5, 5, 15)}}, 0},
		"bow tie within a cell":         {orb.MultiPolygon{{ring(5.2, 5.2, 5.8, 5.8, 5.8, 5.2, 5.2, 5.8)}}, 0},
		"a loop inside of itself":       {orb.MultiPolygon{{ring(5, 5, 5, 15, 12, 15, 12, 8, 8, 8, 8, 12, 15, 12, 15, 5)}}, 0},
		"gone around twice":             {orb.MultiPolygon{{ring(5, 5, 5, 15, 15, 15, 15, 5, 5, 5, 5, 15, 15, 15, 15, 5)}}, 0},
		"a small slip of two corners":   {orb.MultiPolygon{{ring(5, 5, 5, 15, 14.9, 15, 15, 14.8, 14.9, 14.9, 15, 15, 15, 5)}}, 0},
		"a hole outside":                {orb.MultiPolygon{{square, ring(16, 16, 16, 18, 18, 18, 18, 16)}}, 0},
		"a hole across the line":        {orb.MultiPolygon{{square, ring(12, 6, 12, 8, 18, 8, 18, 6)}}, 0},
		"one of two parts":              {orb.MultiPolygon{{square}, {ring(16, 16, 18, 18, 18, 16, 16, 18)}}, 0},
		"a square":                      {orb.MultiPolygon{{square}}, 100},
		"wound the other way":           {orb.MultiPolygon{{ring(5, 5, 15, 5, 15, 15, 5, 15)}}, 100},
		"two parts that overlap":        {orb.MultiPolygon{{square}, {ring(10, 10, 10, 18, 18, 18, 18, 10)}}, 139},
		"touches itself at a corner":    {orb.MultiPolygon{{ring(5, 5, 5, 10, 10, 10, 10, 15, 15, 15, 15, 10, 10, 10, 10, 5)}}, 50},
		"a hole":                        {orb.MultiPolygon{{square, ring(7, 7, 7, 9, 9, 9, 9, 7)}}, 96},
		"a spike":                       {orb.MultiPolygon{{ring(5, 5, 5, 15, 15, 15, 15, 5, 10, 5, 10, 2, 10, 5)}}, 100},
		"lines crossed by the rounding": {orb.MultiPolygon{{ring(5, 5, 5, 15, 15, 15, 15, 5, 10.00001, 5, 10, 2, 10.00002, 2, 10, 5)}}, 100},
	} {
		t.Run(name, func(t *testing.T) {
			cov, err := Cut(cells, c.ground)
			if c.m2 == 0 {
				assert.ErrorIs(t, err, ErrCrossesItself)
				assert.ErrorContains(t, err, ", around 0.000")
				return
			}
			require.NoError(t, err)
			assert.InDelta(t, c.m2, cov.M2(), 0.01)
		})
	}
}
