package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// ramp falls by 75% southwards, so that a metre of plan is 1.25 m on the ground.
func ramp(t *testing.T) *Ground {
	return made(t, 3, 20, 1, 1, func(_, y float64) float64 { return -0.75 * y })
}

// By hand: four cells up a fall of 75% are 5 m of tether, at the very length still.
func TestTetherAtItsVeryLength(t *testing.T) {
	p := moverOn(ramp(t), tethered())
	p.anchors = make([]bool, 60)
	p.anchors[4*3+1] = true
	for length, rows := range map[float64]int{5.001: 4, 4.999: 3, 6.251: 5, 0.1: 0, 40: 15} {
		p.machine.TetherM = length
		for r := 4; r < 20; r++ {
			assert.Equal(t, r-4 <= rows, p.anchored(r*3+1), "%g m, %d cells below", length, r-4)
		}
		for r := range 4 {
			assert.False(t, p.anchored(r*3+1), "above what holds it, row %d", r)
		}
	}
	p.anchors[4*3+1], p.anchors[0], p.machine.TetherM = false, true, 2
	assert.True(t, p.anchored(3), "to the corner of the window")
	p.anchors[4*3+1], p.anchors[0], p.machine.TetherM = true, false, 0
	assert.False(t, p.anchored(4*3+1), "no tether, even beside what would hold it")
	p.machine.TetherM, p.anchors = 40, nil
	assert.False(t, p.anchored(4*3+1))
}

// The tether may end at either side of what holds it: within half its width and a margin
// of where its middle may be.
func TestWhereATetherMayEnd(t *testing.T) {
	l := lieOf(level(t, 21, 3, 1).Grid)
	stands := make([]bool, 63)
	stands[21+10] = true
	cols := func(widthM float64) (n int) {
		m := tethered()
		for _, at := range anchorsOf(l, []zoning.Machine{{Key: "boom", WidthM: widthM}, m}, m, []cellSet{l.cellsOf(stands), {}}, nil)[21:42] {
			if at {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 1, cols(0))
	assert.Equal(t, 3, cols(1), "0.5 + 0.3 + 0.5 m")
	assert.Equal(t, 5, cols(2.4), "1.2 + 0.3 + 0.5 m")

	m := tethered()
	for name, other := range map[string]zoning.Machine{"itself": m, "not the one named": {Key: "loader"}, "on a tether": {Key: "boom", TetherBasis: "manual"}} {
		assert.Nil(t, anchorsOf(l, []zoning.Machine{other}, m, []cellSet{l.cellsOf(stands)}, nil), name)
	}
	m.Anchor = ""
	both := anchorsOf(l, []zoning.Machine{{Key: "x"}, {Key: "y"}}, m, []cellSet{l.cellsOf(stands), l.noCells()}, nil)
	assert.Equal(t, stands, both, "of several, wherever any of them is")
}

// Ground below where the tether begins needs none; from there on it must hang on something.
func TestWhereATetherBegins(t *testing.T) {
	g := made(t, 15, 41, 1, 1, func(_, y float64) float64 { return -0.5 * y })
	m := tethered()
	m.RunM, m.WidthM, m.CrossPct = 500, 0, 0
	at := func(abovePct float64) zoning.Why {
		m.TetherAbovePct = abovePct
		return find(g, m, zoning.Machine{Key: "boom", LimitPct: 10}).Why[0][20*15+7]
	}
	assert.Equal(t, zoning.Works, at(50.03))
	assert.Equal(t, zoning.TooSteep, at(50.01), "0.02 points are a tie")
}

// The line to the next cell is measured along the ground.
func TestLineAlongTheGround(t *testing.T) {
	p := moverOn(ramp(t), tethered())
	next, lengthM := p.uphill(5*3 + 1)
	assert.Equal(t, 4*3+1, next)
	assert.InDelta(t, 1.25, lengthM, 1e-6)
	assert.InDelta(t, math.Hypot(1, 0.75), lengthM, 1e-6)
}
