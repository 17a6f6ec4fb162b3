package quality

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
)

func TestSoundGroundRaisesNoDoubt(t *testing.T) {
	for _, cell := range []float64{1, 2, 10} {
		assert.Empty(t, must(Doubts(gentle(t, 400, 300, cell, nil), true)), "gentle, %g m", cell)
		assert.Empty(t, must(Doubts(steep(t, 400, 300, cell, 1), true)), "steep, %g m", cell)
	}
}

func TestDoubtsSayWhatAndHowMuch(t *testing.T) {
	g := gentle(t, 300, 300, 1, func(h float64, c, r int) float64 {
		if math.Hypot(float64(c-200), float64(r-150)) < 40 {
			return 280
		}
		return h
	})
	doubts := must(Doubts(g, false))
	require := assert.New(t)
	require.Len(doubts, 1)
	require.Equal(DoubtPlateau, doubts[0].Kind, "walls of 20 m and more all around: not water")
	require.Contains(doubts[0].Words, "280 m")
}

func TestDoubtsAreTheSameEachTime(t *testing.T) {
	g := gentle(t, 300, 300, 1, func(h float64, c, r int) float64 { return math.Round(h) })
	assert.Equal(t, fmt.Sprint(must(Doubts(g, true))), fmt.Sprint(must(Doubts(g, true))))
}

func TestDoubtsOfLittleOrNothing(t *testing.T) {
	nan := math.NaN()
	for _, size := range [][2]int{{1, 1}, {1, 300}, {300, 1}, {2, 2}, {3, 3}, {40, 5}} {
		void := gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return nan })
		assert.Empty(t, must(Doubts(void, true)), "all void, %v", size)
		slope := gridOf(t, size[0], size[1], 1, func(c, r int) float64 { return 200 + 0.1234*float64(c) + 0.0877*float64(r) })
		assert.Empty(t, must(Doubts(slope, true)), "a slope, %v", size)
	}
}

// A window in a larger slice, as readers of strips hold them.
func TestDoubtsKeepToTheWindow(t *testing.T) {
	g := gentle(t, 400, 300, 1, nil)
	part := *g
	part.Z, part.Cols, part.Rows, part.Col0, part.Row0 = g.Z[50*400+100:], 200, 200, 100, 50
	for r := range g.Rows {
		for c := range g.Cols {
			if c < 100 || c >= 300 || r < 50 || r >= 250 {
				g.Z[r*g.Stride+c] = -100 // a void's plateau outside
			}
		}
	}
	assert.Empty(t, must(Doubts(&part, true)))
	assert.Contains(t, kinds(must(Doubts(g, true))), DoubtPlateau)
}

func BenchmarkDoubts(b *testing.B) {
	for name, g := range map[string]*terrain.Grid{
		"lidar":  gentle(b, 1500, 1000, 1, nil),
		"stairs": gentle(b, 1500, 1000, 1, func(h float64, c, r int) float64 { return math.Round(h) }),
	} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Doubts(g, true)
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N)/float64(g.Rows*g.Cols), "ns/cell")
		})
	}
}
