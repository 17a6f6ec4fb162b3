package trafficability

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// face is gentle ground up to 40 m, from there a face of 80% for 80 m, and gentle ground
// again.
func face(t *testing.T) *Ground {
	return made(t, 30, 160, 1, 1, profile([2]float64{40, 0.02}, [2]float64{120, 0.8}, [2]float64{160, 0.02}))
}

func tethered() zoning.Machine {
	m := crawler
	m.TetherBasis = "manual, p. 31"
	return m
}

func steepWorked(why []zoning.Why) (rows int) {
	for _, reason := range why[42:118] {
		if reason == zoning.Works {
			rows++
		}
	}
	return rows
}

// Without a basis in its manual, a machine is off its tether on all ground, and off the
// ground that asks for one.
func TestNoTetherWithoutABasis(t *testing.T) {
	g := face(t)
	why := find(g, boom, crawler).reasons(g, 1, 15)
	assert.Equal(t, zoning.Works, why[30])
	for r := 42; r < 118; r++ {
		assert.Equal(t, zoning.TooSteep, why[r], "row %d", r)
	}
}

// Straight up the fall line the tether is as long as the ground between: √(1 + 0.8²) =
// 1.28 m for each metre of plan. 100 ft of it end 23.8 m below the side of the boom where
// that may be.
func TestTetherLength(t *testing.T) {
	g := face(t)
	w := find(g, boom, tethered())
	last := 0
	for r := range 60 {
		if w.Stands[0][r*30+15] {
			last = r
		}
	}
	last += int(boom.WidthM/2 + wayMarginM + 0.5) // it hangs on either side of the boom
	end := last
	for length := 0.0; ; end++ {
		length += math.Hypot(1, float64(g.Grid.Z[end*30+15]-g.Grid.Z[(end+1)*30+15]))
		if length > 100*foot {
			break
		}
	}
	// The middle of the crawler keeps 5 ft / 2 + 1 ft + half a cell from ground beyond.
	why := w.reasons(g, 1, 15)
	for r := 36; r <= end; r++ {
		assert.Equal(t, zoning.Works, why[r], "row %d", r)
	}
	for r := end + 1; r < 118; r++ {
		assert.Equal(t, zoning.TooSteep, why[r], "row %d", r)
	}
	assert.InDelta(t, 38+100*foot/math.Hypot(1, 0.8), end, 4)
}

// The tether hangs on the machine named, where that gets to; on wet ground on none.
func TestWhatATetherHangsOn(t *testing.T) {
	g := face(t)
	assert.Positive(t, steepWorked(find(g, boom, tethered()).reasons(g, 1, 15)))
	assert.Positive(t, steepWorked(find(g, tethered(), boom).reasons(g, 0, 15)), "the order of the fleet decides nothing")
	assert.Zero(t, steepWorked(find(g, loader, tethered()).reasons(g, 1, 15)), "the one named is not there")
	any := tethered()
	any.Anchor = ""
	assert.Positive(t, steepWorked(find(g, loader, any).reasons(g, 1, 15)), "none named: whichever there is")
	assert.Zero(t, steepWorked(find(g, any).reasons(g, 0, 15)), "nothing to hang on")
	short := tethered()
	short.TetherM = 0
	assert.Zero(t, steepWorked(find(g, boom, short).reasons(g, 1, 15)), "no tether")
	wet := must(Find(context.Background(), g, zoning.Fleet([]zoning.Machine{boom, tethered()}).On(zoning.Wet)))
	assert.Zero(t, steepWorked(wet.reasons(g, 1, 15)), "wet")

	g.unloads([2]int{15, 140})
	assert.Zero(t, steepWorked(find(g, boom, tethered()).reasons(g, 1, 15)), "the boom is at the foot, and a tether goes up")
}

// Cause: machines on tethers are found at the same time, and where no anchor is named one
// was hung on another, if that happened to be ready.
func TestNoTetherHangsOnAnother(t *testing.T) {
	g := face(t)
	a, b := tethered(), tethered()
	a.Key, b.Key, a.Anchor, b.Anchor = "a", "b", "", ""
	for range 20 {
		w := find(g, a, b)
		assert.Zero(t, steepWorked(w.reasons(g, 0, 15)))
		assert.Zero(t, steepWorked(w.reasons(g, 1, 15)))
	}
	b.Anchor = "a"
	assert.Zero(t, steepWorked(find(g, a, b).reasons(g, 1, 15)), "though named")
}
