package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// profile is ground that falls southwards by some rises over run, each down to so many
// metres from the north.
func profile(to ...[2]float64) func(x, y float64) float64 {
	return func(_, y float64) (z float64) {
		from := 0.0
		for _, p := range to {
			z -= p[1] * max(0, min(y, p[0])-from)
			from = p[0]
		}
		return z
	}
}

// lastWorked is how far from the north the southernmost cell reaches that the machine
// works.
func lastWorked(why []zoning.Why) (metres int) {
	for r, reason := range why {
		if reason == zoning.Works {
			metres = r + 1
		}
	}
	return metres
}

// By hand: the bench ends at 40 m, where the slope of cells passes 15%. From there the
// middle of the machine goes 200 ft = 60.96 m, and the machine covers a cell beyond.
func TestRunFromABench(t *testing.T) {
	const rows = 150
	below := profile([2]float64{40, 0.10}, [2]float64{rows, 0.25})
	above := func(x, y float64) float64 { return -below(x, rows-y) }
	for name, height := range map[string]func(x, y float64) float64{"below": below, "above": above} {
		g := made(t, 30, rows, 1, 1, height)
		why := find(g, loader).reasons(g, 0, 15)
		for r, reason := range why {
			y := float64(r) + 0.5
			if name == "above" {
				y = rows - y
			}
			switch {
			case y > 2 && y < 40+60.96-1:
				assert.Equal(t, zoning.Works, reason, "%s, %g m", name, y)
			case y > 40+60.96+1 && y < rows-2:
				assert.Equal(t, zoning.NoTurn, reason, "%s, %g m", name, y)
			}
		}
	}
}

// The stated run of a machine is the one that counts.
func TestRunOfTheMachine(t *testing.T) {
	g := made(t, 30, 100, 1, 1, profile([2]float64{40, 0.10}, [2]float64{100, 0.25}))
	for _, runM := range []float64{3, 10, 33} {
		m := loader
		m.RunM = runM
		assert.InDelta(t, 40+runM, lastWorked(find(g, m).reasons(g, 0, 15)), 1, "%g m", runM)
	}
	far := loader
	far.RunM = 1e6
	assert.InDelta(t, 100, lastWorked(find(g, far).reasons(g, 0, 15)), 1, "1000 km: more than is counted in eighths of a cell")
	free := loader
	free.CrossPct = 0
	assert.InDelta(t, 100, lastWorked(find(g, free).reasons(g, 0, 15)), 1, "held to nothing across, it turns anywhere")
}

// A run along the fall line is measured on the ground plan at any angle to the cells,
// and at most a tenth short: that much longer is the way by sixteen headings, 2.7%
// (1/cos 13.3°), and its rounding up to eighths of a cell, 6.1% for a step to a corner.
func TestRunAcrossCells(t *testing.T) {
	for _, deg := range []float64{0, 10, 20, 26.565, 35, 45, 80} {
		sin, cos := math.Sincos(deg * math.Pi / 180)
		fall := profile([2]float64{60, 0.10}, [2]float64{400, 0.25})
		g := made(t, 160, 160, 1, 1, func(x, y float64) float64 { return fall(0, x*sin+y*cos) })
		m := loader
		m.RunM = 40
		var far float64
		for i, why := range find(g, m).Why[0] {
			c, r := i%160, i/160
			if u := (float64(c)-80)*cos - (float64(r)-80)*sin; why == zoning.Works && math.Abs(u) < 10 {
				far = max(far, (float64(c)+0.5)*sin+(float64(r)+0.5)*cos)
			}
		}
		assert.Less(t, far, 60+40+2.0, "%g°", deg)
		assert.Greater(t, far, 60+40*0.9-1, "%g°", deg)
	}
}

// Cause: ground on which the sixteen headings all stay below the limit across passed for
// ground below it, and a run on it counted nothing. On a fall line 13.3° off the middle
// between two headings that is slope up to 15.4% for a limit of 15%.
func TestRunOnGroundJustAboveTheLimitAcross(t *testing.T) {
	sin, cos := math.Sincos(math.Atan2(1, 2) / 2)
	fall := profile([2]float64{60, 0.10}, [2]float64{400, 0.153})
	g := made(t, 60, 250, 1, 1, func(x, y float64) float64 { return fall(0, x*sin+y*cos) })
	why := find(g, loader).reasons(g, 0, 30)
	assert.Equal(t, zoning.Works, why[90])
	assert.Equal(t, zoning.NoTurn, why[150])
}

// A ledge on which the machine has no room to turn is no end of a run, and costs it
// nothing; one with room ends it.
func TestLedgesInARun(t *testing.T) {
	run := func(ledgeM float64) int {
		g := made(t, 30, 180, 1, 1, profile([2]float64{40, 0.10}, [2]float64{80, 0.25}, [2]float64{80 + ledgeM, 0.02}, [2]float64{180, 0.25}))
		return lastWorked(find(g, loader).reasons(g, 0, 15))
	}
	plain := run(0)
	assert.InDelta(t, 40+60.96, plain, 1)
	// On four cells in a row slope is gentle, the outer two being half on the ledge: three
	// moves are free. It turns within 2.3 m, on five cells.
	assert.Equal(t, plain+3, run(4), "too narrow to turn on")
	assert.InDelta(t, 80+8+60.96, run(8), 1, "room to turn")
}

// In a corridor too narrow to turn in, gentle ground costs no run.
func TestRunCountsOnSteepGround(t *testing.T) {
	const wide = 5
	m := loader
	m.FootprintM = 8 // turns within √(2.13² + 8²)/2 + 0.5 = 4.6 m
	g := made(t, 40, 250, 1, 1, profile([2]float64{130, 0.10}, [2]float64{250, 0.25}))
	g.closed(func(c, r int) bool { return r >= 30 && (c < 18 || c >= 18+wide) })
	assert.InDelta(t, 130+60.96, lastWorked(find(g, m).reasons(g, 0, 20)), 1)
}
