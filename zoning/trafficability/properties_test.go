package trafficability

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// site is wild ground with something of everything on it.
func site(t *testing.T, seed uint64) *Ground {
	rnd := rand.New(rand.NewPCG(seed, 9))
	wave, scarp := hills(seed, 50, 3), 15+40*rnd.Float64()
	g := made(t, 100, 80, 1, 1, func(x, y float64) float64 {
		z := wave(x, y)
		if x+0.3*y > 60+scarp {
			z -= 2 + y/40
		}
		return z
	})
	patch := func(is func(i int)) {
		c, r, w, h := rnd.IntN(100), rnd.IntN(80), 2+rnd.IntN(15), 2+rnd.IntN(15)
		for i := range g.Lots {
			if u, v := i%100-c, i/100-r; u >= 0 && v >= 0 && u < w && v < h {
				is(i)
			}
		}
	}
	n := len(g.Lots)
	g.Closed, g.Setback, g.Keep = make([]bool, n), make([]bool, n), make([]bool, n)
	g.BearsKPa, g.GrowthM, g.LineM = make([]float32, n), make([]float32, n), make([]float32, n)
	for i := range n {
		g.BearsKPa[i], g.GrowthM[i], g.LineM[i] = float32(math.NaN()), 3, 100
	}
	patch(func(i int) { g.Closed[i] = true })
	patch(func(i int) { g.Setback[i] = true })
	patch(func(i int) { g.Keep[i] = true })
	patch(func(i int) { g.BearsKPa[i] = 25 })
	patch(func(i int) { g.GrowthM[i] = 6 })
	patch(func(i int) { g.LineM[i] = 2 })
	g.waterLines(func(c, _ int) bool { return c == 50 })
	patch(func(i int) { g.Grid.Z[i] = float32(math.NaN()) })
	with := *g
	*g = *on(g.Grid)
	g.Closed, g.Setback, g.Keep, g.WaterLines, g.BearsKPa, g.GrowthM, g.LineM = with.Closed, with.Setback, with.Keep, with.WaterLines, with.BearsKPa, with.GrowthM, with.LineM
	g.Lots = make([]bool, n)
	for i := range g.Lots {
		c, r := i%100, i/100
		g.Lots[i] = c > 5 && r > 3 && c+r < 160
	}
	g.Drive = g.Lots
	if seed%3 > 0 {
		g.unloads([2]int{rnd.IntN(100), rnd.IntN(80)}, [2]int{rnd.IntN(100), rnd.IntN(80)}, [2]int{rnd.IntN(100), rnd.IntN(80)})
	}
	return g
}

func siteFleet() []zoning.Machine {
	m := fleet()
	m[0].PatchAcres, m[1].PatchAcres, m[2].PatchAcres = 0.05, 0.05, 0.02
	m[2].TetherBasis = "manual, p. 31"
	return m
}

// Every cell has one band, and the machines that may work it are those that nothing
// keeps off.
func TestEveryCellHasOneBand(t *testing.T) {
	for seed := range uint64(6) {
		g := site(t, seed)
		w := must(Find(context.Background(), g, siteFleet()))
		for i, mask := range w.Masks {
			if !g.Lots[i] {
				continue
			}
			var want zoning.Mask
			for k := range w.Why {
				if w.Why[k][i] == zoning.Works {
					want |= 1 << k
				}
			}
			switch {
			case g.Closed[i] || g.Setback[i]:
				assert.Zero(t, want, "no-go")
				want = zoning.NoGo
			case math.IsNaN(float64(g.Field.Squared[i])):
				assert.Zero(t, want, "no slope")
				want = zoning.Unknown
			}
			require.Equal(t, want, mask, "seed %d, cell %d", seed, i)
		}
	}
}

// On every cell that a machine works without a boom, and on every one that its middle
// gets to, slope is within its limit along, by a tie at least, and one of the sixteen
// headings is within its limit across.
func TestLimitsHoldAfterEveryStage(t *testing.T) {
	for seed := range uint64(6) {
		g := site(t, seed)
		for _, ground := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
			m := zoning.Fleet(siteFleet()).On(ground)
			w := must(Find(context.Background(), g, m))
			for k := range m {
				for i := range w.Masks {
					if !w.Stands[k][i] && (m[k].ReachM > 0 || w.Masks[i]&(1<<k) == 0) {
						continue
					}
					if broken := breaks(g, m[k], i); broken != "" {
						t.Fatalf("seed %d, %s, %s, cell %d: %s", seed, ground, m[k].Key, i, broken)
					}
				}
			}
		}
	}
}

// breaks tells what a machine is held to that a cell of a site breaks.
func breaks(g *Ground, m zoning.Machine, i int) string {
	s, fall := math.Sqrt(float64(g.Field.Squared[i])), 2*math.Pi*float64(g.Field.Aspect[i])/256
	least := math.Inf(1)
	for _, w := range [8][2]float64{{1, 0}, {2, 1}, {1, 1}, {1, 2}, {0, 1}, {-1, 2}, {-1, 1}, {-2, 1}} {
		least = min(least, s*math.Abs(math.Sin(math.Atan2(w[1], w[0])-fall)))
	}
	switch {
	case !(s < m.SteepestPct()/100-zoning.TieRise+1e-7):
		return fmt.Sprintf("slope %g", s)
	case !(least < m.CrossPct/100):
		return fmt.Sprintf("slope %g, across %g", s, least)
	case g.Closed[i] || g.Setback[i]:
		return "no-go"
	case g.Keep[i] && m.Work == zoning.Production:
		return "leave trees"
	case float64(g.BearsKPa[i]) < m.PressureKPa:
		return "too soft"
	case float64(g.GrowthM[i]) > m.TallestM:
		return "too tall"
	}
	return ""
}

// Before small patches are given away, wet ground gives no machine a cell.
func TestWetNeverGains(t *testing.T) {
	for seed := range uint64(12) {
		g := site(t, seed)
		m := siteFleet()
		for k := range m {
			m[k].PatchAcres = 0
		}
		dry, wet := must(Find(context.Background(), g, m)), must(Find(context.Background(), g, zoning.Fleet(m).On(zoning.Wet)))
		for k := range m {
			assert.Zero(t, strays(wet.Stands[k], dry.Stands[k]), "seed %d, %s stands", seed, m[k].Key)
			assert.Zero(t, strays(wet.works(k), dry.works(k)), "seed %d, %s works", seed, m[k].Key)
		}
	}
}

// The number of processors changes nothing.
func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	g := site(t, 1)
	m := siteFleet()
	other := tethered()
	other.Key = "crawler-2"
	m = append(m, other)
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	want := must(Find(context.Background(), g, m))
	for _, n := range []int{1, 2, 3, 8} {
		runtime.GOMAXPROCS(n)
		for range 3 {
			require.Equal(t, want, must(Find(context.Background(), g, m)), "%d processors", n)
		}
	}
}

// What is not there, and what lies at the window's edge, is no trouble.
func TestEdgesOfTheWindow(t *testing.T) {
	nan := float32(math.NaN())
	for _, size := range [][2]int{{1, 1}, {1, 9}, {9, 1}, {2, 2}, {3, 3}, {5, 4}} {
		for _, voids := range []int{0, 2, 1} { // none, every other cell, all
			for _, lots := range []bool{true, false} {
				g := made(t, size[0], size[1], 1, 1, hills(1, 10, 1))
				for i := range g.Grid.Z {
					if voids > 0 && i%voids == 0 {
						g.Grid.Z[i] = nan
					}
				}
				g = on(g.Grid)
				for i := range g.Lots {
					g.Lots[i] = lots
				}
				g.waterLines(func(_, _ int) bool { return false })
				for _, staging := range [][][]int{nil, {}, {{}}, {{0}, {len(g.Lots) - 1}}} {
					g.Staging = staging
					w := must(Find(context.Background(), g, siteFleet()))
					assert.Len(t, w.Masks, size[0]*size[1])
				}
			}
		}
	}
	g := level(t, 1, 1, 1)
	assert.Equal(t, zoning.Unknown, find(g, anywhere("a", 30, 0)).Masks[0], "a cell alone has no slope")
}
