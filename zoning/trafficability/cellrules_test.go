package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// What a cell says by itself, at the very figures: what bears as much as the machine
// presses carries it, growth as tall and stems as thick as it handles are handled.
func TestCellRulesAtTheVeryFigure(t *testing.T) {
	m := zoning.Machine{Key: "a", LimitPct: 30, PressureKPa: 32, TallestM: 8, StemM: 0.25, Work: zoning.Production}
	for _, c := range []struct {
		words string
		lay   func(g *Ground)
		m     func(m *zoning.Machine)
		want  zoning.Why
	}{
		{"bears 32 kPa", func(g *Ground) { g.BearsKPa = one(32) }, nil, zoning.Works},
		{"bears 31.9 kPa", func(g *Ground) { g.BearsKPa = one(31.9) }, nil, zoning.TooSoft},
		{"bears 100 kPa, pressure not known", func(g *Ground) { g.BearsKPa = one(100) }, func(m *zoning.Machine) { m.PressureKPa = 0 }, zoning.TooSoft},
		{"firm, pressure not known", func(*Ground) {}, func(m *zoning.Machine) { m.PressureKPa = 0 }, zoning.Works},
		{"8 m of growth", func(g *Ground) { g.GrowthM = one(8) }, nil, zoning.Works},
		{"8.01 m", func(g *Ground) { g.GrowthM = one(8.01) }, nil, zoning.TooMuchGrowth},
		{"90 m, held to none", func(g *Ground) { g.GrowthM = one(90) }, func(m *zoning.Machine) { m.TallestM = 0 }, zoning.Works},
		{"stems of 0.25 m", func(g *Ground) { g.StemsM = one(0.25) }, nil, zoning.Works},
		{"stems of 0.26 m", func(g *Ground) { g.StemsM = one(0.26) }, nil, zoning.TooMuchGrowth},
		{"stems of 2 m, held to none", func(g *Ground) { g.StemsM = one(2) }, func(m *zoning.Machine) { m.StemM = 0 }, zoning.Works},
		{"leave trees, selective", func(g *Ground) { g.Keep = mark() }, func(m *zoning.Machine) { m.Work = zoning.Selective }, zoning.Works},
		{"leave trees, either", func(g *Ground) { g.Keep = mark() }, func(m *zoning.Machine) { m.Work = zoning.AnyWork }, zoning.Works},
		{"leave trees, production", func(g *Ground) { g.Keep = mark() }, nil, zoning.LeaveTrees},
	} {
		g := level(t, 41, 41, 1)
		c.lay(g)
		m := m
		if c.m != nil {
			c.m(&m)
		}
		w := find(g, m)
		assert.Equal(t, c.want.String(), w.Why[0][middle].String(), c.words)
		assert.Equal(t, zoning.Works, w.Why[0][middle-3], "%s: the next", c.words)
		assert.Equal(t, c.want == zoning.Works, w.Masks[middle] == 1, c.words)
	}
}

// Slope 0.02 points short of the limit is on it; and a machine that asks of each cell by
// itself only is not held to headings.
func TestSlopeAtTheVeryLimit(t *testing.T) {
	at := func(pct, crossPct float64, noWays bool) zoning.Why {
		g := made(t, 41, 41, 1, 1, func(_, y float64) float64 { return pct / 100 * y })
		g.NoWays = noWays
		return find(g, zoning.Machine{Key: "a", LimitPct: 30, CrossPct: crossPct, RunM: 500}).Why[0][middle]
	}
	assert.Equal(t, zoning.TooSteep, at(29.985, 0, false))
	assert.Equal(t, zoning.Works, at(29.975, 0, false))
	assert.Equal(t, zoning.TooSteep, at(29.985, 0, true))
	assert.Equal(t, zoning.Works, at(29.975, 1, true), "no headings are asked for")
	// On 29% a heading down the fall line is half a step of aspect off: 0.36% across.
	assert.Equal(t, zoning.OnlyAcross, at(29, 0.3, false))
	assert.Equal(t, zoning.NoTurn, at(29, 0.5, false), "it may drive, and turns nowhere")
}

// With ground of its own by cells only, nothing is asked of width, turning, ways in or
// patches.
func TestNoWaysAsksOfCellsOnly(t *testing.T) {
	g := corridor(t, 1, 1)
	g.NoWays = true
	m := loader
	m.PatchAcres = 5
	w := find(g, m)
	assert.Equal(t, zoning.Works, w.Why[0][20*21+10])
	assert.Equal(t, zoning.Closed, w.Why[0][20*21+9])
	assert.Equal(t, zoning.Mask(1), w.Masks[20*21+10])
}

// Machines cross ground beside the lots where they may drive; beyond it a boom may reach,
// unless the cell itself is closed, kept from, or not measured.
func TestGroundNobodyDrivesOn(t *testing.T) {
	g := level(t, 41, 41, 1)
	g.Drive = make([]bool, len(g.Lots))
	for i := range g.Drive {
		g.Drive[i] = i%41 < 20
	}
	g.closed(func(c, r int) bool { return c == 22 && r == 10 })
	w := find(g, boom, loader)
	row := 10 * 41
	assert.Equal(t, zoning.Works, w.Why[0][row+18])
	assert.Equal(t, zoning.Works, w.Why[0][row+21], "the boom reaches 6 m from column 17")
	assert.Equal(t, zoning.Closed, w.Why[0][row+22])
	assert.NotEqual(t, zoning.Works, w.Why[0][row+30])
	assert.Equal(t, zoning.Works, w.Why[1][row+20], "beside the ground it drives on, part of the lot may lie")
	assert.Equal(t, zoning.NoWayIn, w.Why[1][row+22], "without a boom nobody asks")
	assert.Equal(t, zoning.NoWayIn, w.Why[1][row+30])

	// What is too steep, or bears too little, out there is not the reason: nobody drives on it.
	g = made(t, 41, 41, 1, 1, func(x, _ float64) float64 { return max(0, x-25) })
	g.Drive = make([]bool, len(g.Lots))
	for i := range g.Drive {
		g.Drive[i] = i%41 < 20
	}
	assert.Equal(t, zoning.NoWayIn, find(g, boom).Why[0][row+35])
}

// Beside the ground that is driven on, where nobody asks, a boom keeps a cell that no rule of
// cells refuses: what is asked of the ground for all machines at once is not all of the rules.
func TestGroundNobodyAsksForIsJudgedForABoom(t *testing.T) {
	g := level(t, 9, 9, 1)
	g.Lots = make([]bool, 81)
	g.Lots[4*9+1] = true
	g.Drive = g.Lots
	g.Closed = make([]bool, 81)
	g.Closed[4*9+6] = true
	g.Setback = make([]bool, 81)
	g.Setback[4*9+6], g.Setback[4*9+7] = true, true
	g.Firm = make([]zoning.Mask, 81)
	for i := range g.Firm {
		g.Firm[i] = 1
	}
	g.Firm[4*9+5] = 0
	swings := moverOn(g, zoning.Machine{Key: "a", LimitPct: 30, ReachM: 2})
	swings.judge()
	assert.Equal(t, []zoning.Why{zoning.Works, zoning.NoWayIn, zoning.Closed, zoning.InSetback}, swings.why[4*9+4:][:4])
	plain := moverOn(g, zoning.Machine{Key: "a", LimitPct: 30})
	plain.judge()
	assert.Equal(t, []zoning.Why{zoning.NoWayIn, zoning.NoWayIn, zoning.NoWayIn, zoning.NoWayIn}, plain.why[4*9+4:][:4])
}
