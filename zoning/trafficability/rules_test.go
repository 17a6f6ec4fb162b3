package trafficability

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// fleet is the machines of the tests with what the layers of a site ask of them:
// planning defaults, common practice, no source.
func fleet() []zoning.Machine {
	a, b, c := loader, boom, crawler
	a.PressureKPa, a.TallestM, a.StemM, a.Work = 34, 25*foot, 0.20, zoning.Production
	b.PressureKPa, b.TallestM, b.StemM, b.Work = 41, 30*foot, 0.20, zoning.Selective
	c.PressureKPa, c.TallestM, c.StemM = 21, 15*foot, 0.10
	return []zoning.Machine{a, b, c}
}

// one gives a value to the cell in the middle of a 41 × 41 window, and none to others.
func one(value float64) []float32 {
	out := make([]float32, 41*41)
	for i := range out {
		out[i] = float32(math.NaN())
	}
	out[middle] = float32(value)
	return out
}

func mark() []bool {
	out := make([]bool, 41*41)
	out[middle] = true
	return out
}

// firm lets some machines stand on the cell in the middle, and all elsewhere.
func firm(machines zoning.Mask) []zoning.Mask {
	out := make([]zoning.Mask, 41*41)
	for i := range out {
		out[i] = math.MaxUint16
	}
	out[middle] = machines
	return out
}

const middle = 20*41 + 20

// Each layer keeps off the machines it concerns, from the cells it marks; the boom reaches
// over what it may not stand on, but not over growth that its head does not handle, nor
// into what is closed.
func TestLayers(t *testing.T) {
	const W = zoning.Works
	for _, c := range []struct {
		words string
		lay   func(g *Ground)
		want  [3]zoning.Why
	}{
		{"none", func(*Ground) {}, [3]zoning.Why{W, W, W}},
		{"no-go", func(g *Ground) { g.Closed = mark() }, [3]zoning.Why{zoning.Closed, zoning.Closed, zoning.Closed}},
		{"setback", func(g *Ground) { g.Setback = mark() }, [3]zoning.Why{zoning.InSetback, zoning.InSetback, zoning.InSetback}},
		{"bears 40 kPa", func(g *Ground) { g.BearsKPa = one(40) }, [3]zoning.Why{W, W, W}},
		{"bears 30 kPa", func(g *Ground) { g.BearsKPa = one(30) }, [3]zoning.Why{zoning.TooSoft, W, W}},
		{"bears 34 kPa", func(g *Ground) { g.BearsKPa = one(34) }, [3]zoning.Why{W, W, W}},
		{"growth of 20 ft", func(g *Ground) { g.GrowthM = one(20 * foot) }, [3]zoning.Why{W, W, zoning.TooMuchGrowth}},
		{"growth of 28 ft", func(g *Ground) { g.GrowthM = one(28 * foot) }, [3]zoning.Why{zoning.TooMuchGrowth, W, zoning.TooMuchGrowth}},
		{"growth of 31 ft", func(g *Ground) { g.GrowthM = one(31 * foot) }, [3]zoning.Why{zoning.TooMuchGrowth, zoning.TooMuchGrowth, zoning.TooMuchGrowth}},
		{"stems of 6 in", func(g *Ground) { g.StemsM = one(0.1524) }, [3]zoning.Why{W, W, zoning.TooMuchGrowth}},
		{"leave trees", func(g *Ground) { g.Keep = mark() }, [3]zoning.Why{zoning.LeaveTrees, W, W}},
		{"line at 19 ft", func(g *Ground) { g.LineM = one(19 * foot) }, [3]zoning.Why{W, zoning.InSetback, W}},
		{"line at 21 ft", func(g *Ground) { g.LineM = one(21 * foot) }, [3]zoning.Why{W, W, W}},
		{"a step for two", func(g *Ground) { g.Firm = firm(0b010) }, [3]zoning.Why{zoning.TooGreatAStep, W, zoning.TooGreatAStep}},
		{"a step for all", func(g *Ground) { g.Firm = firm(0) }, [3]zoning.Why{zoning.TooGreatAStep, W, zoning.TooGreatAStep}},
	} {
		g := level(t, 41, 41, 1)
		c.lay(g)
		m := fleet()
		w := must(Find(context.Background(), g, m))
		for k, want := range c.want {
			assert.Equal(t, want.String(), w.Why[k][middle].String(), "%s: %s", c.words, m[k].Key)
			assert.Equal(t, W, w.Why[k][middle+3*41], "%s: %s beside", c.words, m[k].Key)
		}
	}
}

// A machine whose pressure is not known is kept off ground of which it is known what it
// bears; growth and stems of which nothing is known keep none off.
func TestNotKnown(t *testing.T) {
	g := level(t, 41, 41, 1)
	g.BearsKPa = one(500)
	m := fleet()[0]
	m.PressureKPa = 0
	assert.Equal(t, zoning.TooSoft, find(g, m).Why[0][middle])
	g.BearsKPa, g.GrowthM, g.StemsM = nil, one(math.NaN()), one(math.NaN())
	assert.Equal(t, zoning.Works, find(g, m).Why[0][middle])
}

// Of all rules that keep a machine off a cell, the first in the order of the reasons is
// told.
func TestFirstReason(t *testing.T) {
	g := level(t, 41, 41, 1)
	z := g.Grid.Z
	z[middle+1], z[middle-1] = 0.9, -0.9 // 45% by the weights of Horn 1981
	m := fleet()[0]
	lay := []func(){
		func() { g = on(g.Grid) },
		func() { g.Keep = mark() },
		func() { g.StemsM = one(1) },
		func() { g.BearsKPa = one(1) },
		func() { g.Firm = firm(0) },
		func() { g.Setback = mark() },
		func() { g.Closed = mark() },
	}
	want := []zoning.Why{zoning.TooSteep, zoning.TooSteep, zoning.TooSteep, zoning.TooSteep, zoning.TooSteep, zoning.InSetback, zoning.Closed}
	steep := m
	steep.LimitPct, steep.CrossPct = 90, 0
	gentler := []zoning.Why{zoning.Works, zoning.LeaveTrees, zoning.TooMuchGrowth, zoning.TooSoft, zoning.TooGreatAStep, zoning.InSetback, zoning.Closed}
	for n, add := range lay {
		add()
		assert.Equal(t, want[n].String(), find(g, m).Why[0][middle].String(), "with %d layers", n)
		assert.Equal(t, gentler[n].String(), find(g, steep).Why[0][middle].String(), "with %d layers, not too steep", n)
	}
	nan := float32(math.NaN())
	for _, d := range []int{0, 1, -1, 41, -41, 42, -42, 40, -40} {
		z[middle+d] = nan
	}
	g = on(g.Grid)
	assert.Equal(t, zoning.NotMeasured, find(g, m).Why[0][middle])
	g.Setback = mark()
	assert.Equal(t, zoning.InSetback, find(g, m).Why[0][middle])
}

// Masks tell what reasons do: no-go is what is closed to all, unknown what has no slope.
func TestMasks(t *testing.T) {
	g := level(t, 41, 41, 1)
	g.Closed = mark()
	assert.Equal(t, zoning.NoGo, must(Find(context.Background(), g, fleet())).Masks[middle])
	g.Closed, g.Setback = nil, mark()
	assert.Equal(t, zoning.NoGo, must(Find(context.Background(), g, fleet())).Masks[middle])
	g.Setback, g.LineM = nil, one(1)
	assert.Equal(t, zoning.Mask(0b101), must(Find(context.Background(), g, fleet())).Masks[middle], "the line is no no-go")
	g.LineM = nil
	g.Grid.Z[middle] = float32(math.NaN())
	assert.Equal(t, zoning.Unknown, must(Find(context.Background(), on(g.Grid), fleet())).Masks[middle])
}
