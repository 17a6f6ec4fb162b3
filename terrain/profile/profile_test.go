package profile

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// made is a grid of heights by column and row, on cells of 2 m by 1 m.
func made(t *testing.T, cols, rows int, height func(c, r int) float64) *terrain.Grid {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height(i%cols, i/cols))
	}
	g, err := terrain.NewGrid(z, cols, rows, 2, 1)
	require.NoError(t, err)
	return g
}

// along is the profile between two spots in cells.
func along(t *testing.T, g *terrain.Grid, c0, r0, c1, r1 float64) *Profile {
	t.Helper()
	p, err := Along(g, place(g, c0, r0), place(g, c1, r1))
	require.NoError(t, err)
	return p
}

func place(g *terrain.Grid, c, r float64) [2]float64 {
	lon, lat := g.Frame.LonLat(c, r)
	return [2]float64{lon, lat}
}

// On a plane every height, length and slope along any line is known: east 30%, south -10%.
func TestPlane(t *testing.T) {
	g := made(t, 60, 80, func(c, r int) float64 { return 300 + 0.6*float64(c) - 0.1*float64(r) })
	for _, to := range [][2]float64{{50.5, 10.5}, {50.5, 60.5}, {5.5, 70.25}, {5.5, 10.5}} {
		const c0, r0 = 20.3, 30.7
		p := along(t, g, c0, r0, to[0], to[1])
		east, south := 2*(to[0]-c0), to[1]-r0
		length := math.Hypot(east, south)
		assert.InDelta(t, length, p.LengthM(), 1e-6)
		assert.GreaterOrEqual(t, len(p.DistancesM), int(3*length), "three places to a cell of 1 m")
		for i, d := range p.DistancesM {
			x, y := c0-0.5+d/length*(to[0]-c0), r0-0.5+d/length*(to[1]-r0)
			assert.InDelta(t, 300+0.6*x-0.1*y, p.HeightsM[i], 1e-4)
			assert.InDelta(t, 100*(0.3*east-0.1*south)/length, p.SlopePct(i, 3), 0.02)
			assert.Equal(t, int(y+0.5)*60+int(x+0.5), p.Cells[i])
		}
		s, ok := p.Stand(length/2, 4)
		require.True(t, ok)
		assert.InDelta(t, 100*(0.3*east-0.1*south)/length, s.SlopePct, 0.02)
		assert.InDelta(t, 0, s.HollowM, 1e-4)
	}
}

// A step from one cell to the next reads at its whole rise: never gentler than it is.
func TestCliff(t *testing.T) {
	g := made(t, 40, 20, func(c, r int) float64 {
		if r >= 10 {
			return 95
		}
		return 100
	})
	for _, off := range []float64{0, 0.1, 0.25, 0.4, 0.49} {
		p := along(t, g, 20.5, 2.5+off, 20.5, 17.5+off/2)
		steepest := 0.0
		for i := range p.DistancesM {
			steepest = min(steepest, p.SlopePct(i, 0))
		}
		assert.InDelta(t, -500, steepest, 0.1, "5 m on a cell of 1 m")
	}
}

// A place with a void among the cells around it has no height, and nothing leads over it.
func TestVoid(t *testing.T) {
	g := made(t, 40, 20, func(c, r int) float64 {
		if c == 20 {
			return math.NaN()
		}
		return 100
	})
	p := along(t, g, 2.5, 10.5, 37.5, 10.5)
	gap := []float64{math.Inf(1), 0}
	for i, z := range p.HeightsM {
		x := 2.5 + p.DistancesM[i]/2
		known := x <= 19.5+1e-9 || x >= 21.5-1e-9
		assert.Equal(t, known, math.Abs(z-100) < 1e-9, "column %.2f", x)
		if !known {
			gap[0], gap[1] = min(gap[0], p.DistancesM[i]), max(gap[1], p.DistancesM[i])
			assert.True(t, math.IsNaN(p.SlopePct(i, 3)))
		}
	}
	middle := (gap[0] + gap[1]) / 2
	assert.InDelta(t, 2*(20.5-2.5), middle, 1e-6)
	assert.True(t, math.IsNaN(p.HeightAt(middle)))
	_, stands := p.Stand(middle+3, 3)
	assert.False(t, stands, "with one end over the void")
	_, stands = p.Stand(middle+4.5, 3)
	assert.True(t, stands)
	// The line's ends beyond the grid are voids as well.
	p = along(t, g, -4, 10.5, 10.5, 10.5)
	assert.True(t, math.IsNaN(p.HeightsM[0]))
	assert.Equal(t, -1, p.Cells[0])
	assert.InDelta(t, 100, p.HeightAt(p.LengthM()), 1e-9)
	assert.True(t, math.IsNaN(p.HeightAt(p.LengthM()+1)) && math.IsNaN(p.HeightAt(-1)))
}

// A straight thing bridges a ditch, and tips over a crest to the side of its middle.
func TestStand(t *testing.T) {
	ditch := made(t, 9, 60, func(c, r int) float64 {
		if r == 30 {
			return 99
		}
		return 100
	})
	p := along(t, ditch, 4.5, 0.5, 4.5, 59.5)
	s, ok := p.Stand(30, 4)
	require.True(t, ok)
	assert.InDelta(t, 0, s.SlopePct, 1e-6)
	assert.InDelta(t, 1, s.HollowM, 1e-3)
	assert.Equal(t, []float64{28, 32}, []float64{s.FromM, s.ToM})

	crest := made(t, 9, 60, func(c, r int) float64 { return 100 - math.Abs(float64(r)-30) })
	p = along(t, crest, 4.5, 0.5, 4.5, 59.5)
	before, ok := p.Stand(29.5, 4)
	require.True(t, ok)
	after, ok := p.Stand(30.5, 4)
	require.True(t, ok)
	assert.InDelta(t, 100, before.SlopePct, 1)
	assert.InDelta(t, -100, after.SlopePct, 1)
	assert.InDelta(t, 4, math.Hypot(before.ToM-before.FromM, before.ToZ-before.FromZ), 1e-9, "as long as it is, tilted")
	_, ok = p.Stand(1, 4)
	assert.False(t, ok, "the line begins under it")
	_, ok = p.Stand(30, 0)
	assert.False(t, ok)
}

func TestNoProfile(t *testing.T) {
	g := made(t, 10, 10, func(c, r int) float64 { return 1 })
	at := place(g, 5, 5)
	for _, ends := range [][2][2]float64{{at, at}, {at, {math.NaN(), 0}}, {{math.Inf(1), 0}, at}} {
		_, err := Along(g, ends[0], ends[1])
		assert.ErrorIs(t, err, ErrNoLine)
	}
	_, err := Along(g, place(g, 20, 20), place(g, 30, 20))
	assert.ErrorIs(t, err, ErrOffGround)
	_, err = Along(g, at, place(g, 50_000, 5))
	assert.ErrorContains(t, err, "draw a shorter one")
	_, err = Along(nil, at, at)
	assert.Error(t, err)
}
