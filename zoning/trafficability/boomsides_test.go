package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// anyBoom is held to nothing but its reach and its limits.
var anyBoom = zoning.Machine{Key: "boom", LimitPct: 35, ReachM: 5, ReachUpPct: 80, ReachDownPct: 80, FootprintM: 3}

// By hand: 5 m of boom end at the middle of the fifth cell on the level; and 4 m on and
// 3 m up or down, on the face of 75% between, are 5 m of boom too.
func TestReachAtItsVeryLength(t *testing.T) {
	height := 0.0
	ground := func() *Ground {
		return made(t, 15, 3, 1, 1, func(x, _ float64) float64 {
			if x > 9 {
				return height
			}
			return 0
		})
	}
	reaches := func(cols int, reachM, up, down float64) bool {
		g := ground()
		for i := range g.Field.Squared {
			g.Field.Squared[i] = 0 // the face at the cell is another rule
		}
		p := moverOn(g, zoning.Machine{ReachM: reachM})
		places := make([]bool, 45)
		places[15+5] = true
		return p.boomOver(p.lie.cellsOf(places), p.faceSquared(up), p.faceSquared(down)).reaches(15 + 5 + cols)
	}
	assert.True(t, reaches(3, 3, 80, 80))
	assert.False(t, reaches(3, 2.99, 80, 80))
	height = 3
	assert.True(t, reaches(4, 5, 80, 10), "3 m up")
	assert.False(t, reaches(4, 4.99, 80, 80), "height is counted")
	assert.False(t, reaches(4, 9, 74, 80), "a face of 75% up")
	assert.True(t, reaches(4, 9, 75.03, 0), "a tie above 75%")
	assert.False(t, reaches(4, 9, 75.01, 80), "a tie goes to the steeper side")
	assert.False(t, reaches(4, 9, 0, 80), "none is given up")
	height = -3
	assert.True(t, reaches(4, 5, 10, 80), "3 m down")
	assert.False(t, reaches(4, 4.99, 80, 80))
	assert.False(t, reaches(4, 9, 80, 74), "a face of 75% down")
	assert.True(t, reaches(4, 9, 0, 75.03))
	assert.False(t, reaches(4, 9, 80, 75.01))
	assert.False(t, reaches(4, 9, 80, 0), "none is given down")
}

// The face at the cell itself is held to the limit for the way it lies, up or down.
func TestFaceAtTheCell(t *testing.T) {
	g := level(t, 9, 3, 1)
	p := moverOn(g, zoning.Machine{ReachM: 5})
	places := make([]bool, 27)
	places[9+2] = true
	for i, squared := range []float32{0.24, 0.26, 0.48, 0.50} {
		g.Field.Squared[9+4] = squared
		g.Grid.Z[9+4] = 0.1
		assert.Equal(t, squared < 0.25, p.boomOver(p.lie.cellsOf(places), 0.25, 0.49).reaches(9+4), "up, %d", i)
		g.Grid.Z[9+4] = -0.1
		assert.Equal(t, squared < 0.49, p.boomOver(p.lie.cellsOf(places), 0.25, 0.49).reaches(9+4), "down, %d", i)
		g.Grid.Z[9+4] = 0
		assert.Equal(t, squared < 0.25, p.boomOver(p.lie.cellsOf(places), 0.25, 0.49).reaches(9+4), "level counts as up, %d", i)
	}
}

// Cause: a boom that stood under an overhead line went unnoticed. It may drive under one,
// and neither works there nor from there: all it drives on lies under the line, and so
// nothing is worked beyond.
func TestNoBoomStandsUnderALine(t *testing.T) {
	ground := func(lineM float32) *Work {
		g := level(t, 41, 41, 1)
		g.Drive, g.LineM = make([]bool, len(g.Lots)), make([]float32, len(g.Lots))
		for i := range g.Drive {
			g.Drive[i], g.LineM[i] = i%41 < 20, 100
			if g.Drive[i] {
				g.LineM[i] = lineM
			}
		}
		return find(g, anyBoom)
	}
	const row = 20 * 41
	under := ground(4.99)
	assert.Equal(t, zoning.InSetback, under.Why[0][row+10])
	assert.True(t, under.Stands[0][row+10], "it may drive there, boom down")
	assert.NotEqual(t, zoning.Works, under.Why[0][row+22], "nor works from there")
	clear := ground(5)
	assert.Equal(t, zoning.Works, clear.Why[0][row+10], "as far from it as the boom is long")
	assert.Equal(t, zoning.Works, clear.Why[0][row+22])
}

// Where a boom stands and swings is held to its limits for that, along and across, at the
// very figure.
func TestStandingAtTheVeryLimit(t *testing.T) {
	at := func(alongPct, crossPct float64) zoning.Why {
		g := made(t, 31, 31, 1, 1, func(_, y float64) float64 { return 0.25 * y })
		m := anyBoom
		m.ReachM, m.Swing, m.RunM = 2, zoning.Limits{AlongPct: alongPct, CrossPct: crossPct}, 500
		return find(g, m).Why[0][15*31+15]
	}
	assert.Equal(t, zoning.Works, at(25.03, 0))
	assert.Equal(t, zoning.OutOfReach, at(25.01, 0), "a tie")
	assert.Equal(t, zoning.Works, at(0, 0), "as it drives")
	// Straight down a fall of 25% it is half a step of aspect off at most: 0.31% across.
	assert.Equal(t, zoning.Works, at(30, 0.4))
	assert.Equal(t, zoning.OutOfReach, at(30, 0.3))
}

// A head works nothing that is closed, kept from, not measured, too tall or to be left,
// wherever the machine stands: not on a face that it only reaches, either.
func TestWhatAHeadDoesNotWork(t *testing.T) {
	bank := func(lay func(g *Ground, n int), m zoning.Machine) zoning.Why {
		g := made(t, 21, 30, 1, 1, func(_, y float64) float64 { return min(max(y-15, 0)*0.6, 2.4) })
		lay(g, len(g.Lots))
		return find(g, m).Why[0][17*21+10]
	}
	all := func(n int, v float32) []float32 {
		out := make([]float32, n)
		for i := range out {
			out[i] = v
		}
		return out
	}
	keep := func(g *Ground, n int) {
		g.Keep = make([]bool, n)
		for i := range n {
			g.Keep[i] = i/21 >= 15
		}
	}
	m := anyBoom
	m.TallestM, m.StemM = 8, 0.25
	assert.Equal(t, zoning.Works, bank(func(*Ground, int) {}, m))
	assert.Equal(t, zoning.Works, bank(func(g *Ground, n int) { g.GrowthM, g.StemsM = all(n, 8), all(n, 0.25) }, m))
	face := func(v float32) func(g *Ground, n int) {
		return func(g *Ground, n int) {
			g.GrowthM = all(n, 1)
			for i := 15 * 21; i < n; i++ {
				g.GrowthM[i] = v
			}
		}
	}
	assert.Equal(t, zoning.Works, bank(face(8), m))
	assert.NotEqual(t, zoning.Works, bank(face(8.1), m), "too tall")
	stems := func(g *Ground, n int) {
		face(0)(g, n)
		g.GrowthM, g.StemsM = nil, g.GrowthM
		for i := range g.StemsM {
			g.StemsM[i] = 0.1
			if i >= 15*21 {
				g.StemsM[i] = 0.26
			}
		}
	}
	assert.NotEqual(t, zoning.Works, bank(stems, m), "too thick")
	assert.Equal(t, zoning.Works, bank(keep, m), "leave trees, a machine for either work")
	m.Work = zoning.Production
	assert.NotEqual(t, zoning.Works, bank(keep, m), "leave trees, and it is for production")
	m.Work = zoning.Selective
	assert.Equal(t, zoning.Works, bank(keep, m))
}
