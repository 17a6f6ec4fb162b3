package trafficability

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
)

const foot = zoning.MetresPerFoot

// Machines with the planning defaults of the fleet: common practice, no source.
var (
	loader  = zoning.Machine{Key: "loader", LimitPct: 30, CrossPct: 15, Wet: zoning.Limits{AlongPct: 20, CrossPct: 10}, WidthM: 7 * foot, FootprintM: 3}
	boom    = zoning.Machine{Key: "boom", LimitPct: 35, CrossPct: 15, Wet: zoning.Limits{AlongPct: 20, CrossPct: 8}, Swing: zoning.Limits{AlongPct: 25, CrossPct: 10}, WetSwing: zoning.Limits{AlongPct: 15, CrossPct: 5}, ReachM: 20 * foot, ReachUpPct: 100, ReachDownPct: 65, WidthM: 9 * foot, FootprintM: 12 * foot, Work: zoning.Selective}
	crawler = zoning.Machine{Key: "crawler", LimitPct: 100, CrossPct: 45, Wet: zoning.Limits{AlongPct: 40, CrossPct: 25}, TetherAbovePct: 60, TetherM: 100 * foot, Anchor: "boom", WidthM: 5 * foot, FootprintM: 3}
)

// noCrest is how far a machine keeps back from crests in tests of other rules.
const noCrest = 1e-6

// made is ground whose heights in metres are a function of metres east and south, all
// of it one lot.
func made(t testing.TB, cols, rows int, dx, dy float64, height func(x, y float64) float64) *Ground {
	t.Helper()
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(height((float64(i%cols)+0.5)*dx, (float64(i/cols)+0.5)*dy))
	}
	grid, err := terrain.NewGrid(z, cols, rows, dx, dy)
	require.NoError(t, err)
	return on(grid)
}

// on is the ground of a grid, all of it one lot.
func on(grid *terrain.Grid) *Ground {
	field := slope.NewField(grid)
	field.AddAspect()
	slope.Rows(grid, 0, grid.Rows, field)
	g := &Ground{Grid: grid, Field: field, Edges: must(DropOffs(context.Background(), grid, nil)), Lots: make([]bool, grid.Cols*grid.Rows)}
	for i := range g.Lots {
		g.Lots[i] = true
	}
	g.Drive = g.Lots
	return g
}

// level is flat ground.
func level(t testing.TB, cols, rows int, cellM float64) *Ground {
	return made(t, cols, rows, cellM, cellM, func(_, _ float64) float64 { return 0 })
}

// hills is rolling ground: waves in twelve directions, the longest first.
func hills(seed uint64, lengthM, reliefM float64) func(x, y float64) float64 {
	rnd := rand.New(rand.NewPCG(seed, 1))
	var waves [12][4]float64
	for i := range waves {
		sin, cos := math.Sincos(2 * math.Pi * rnd.Float64())
		k := 2 * math.Pi / lengthM * math.Pow(1.25, float64(i))
		waves[i] = [4]float64{k * cos, k * sin, 2 * math.Pi * rnd.Float64(), reliefM / 4 * math.Pow(1.25, -float64(i))}
	}
	return func(x, y float64) (z float64) {
		for _, w := range waves {
			z += w[3] * math.Sin(w[0]*x+w[1]*y+w[2])
		}
		return z
	}
}

// skewed is ground of hills on a frame whose columns and rows go by given metres east
// and north, near longitude and latitude 0.
func skewed(t testing.TB, cols, rows int, perCol, perRow [2]float64, height func(x, y float64) float64) *Ground {
	t.Helper()
	const degree = 6378137 * math.Pi / 180 // of longitude on the equator, WGS84
	const flat = 1 - 0.00669437999014      // a degree of latitude there against that
	at := func(c, r float64) (east, north float64) {
		return c*perCol[0] + r*perRow[0], c*perCol[1] + r*perRow[1]
	}
	frame, err := terrain.NewFrame(64, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			east, north := at(c[0], c[1])
			out[i] = [2]float64{east / degree, north / (degree * flat)}
		}
		return out, nil
	})
	require.NoError(t, err)
	z := make([]float32, cols*rows)
	for i := range z {
		east, north := at(float64(i%cols)+0.5, float64(i/cols)+0.5)
		z[i] = float32(height(east, -north))
	}
	return on(&terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Frame: frame})
}

// closed marks as no-go what a function tells of.
func (g *Ground) closed(is func(c, r int) bool) *Ground {
	g.Closed = make([]bool, len(g.Lots))
	for i := range g.Closed {
		g.Closed[i] = is(i%g.Grid.Cols, i/g.Grid.Cols)
	}
	return g
}

// waterLines lays drainage lines over the cells that a function tells of.
func (g *Ground) waterLines(are func(c, r int) bool) *Ground {
	g.WaterLines = runs.Of(g.Grid.Cols, g.Grid.Rows, func(i int) bool { return are(i%g.Grid.Cols, i/g.Grid.Cols) })
	return g
}

// unloads puts a place of staging on each of some cells.
func (g *Ground) unloads(at ...[2]int) *Ground {
	g.Staging = [][]int{}
	for _, a := range at {
		g.Staging = append(g.Staging, []int{a[1]*g.Grid.Cols + a[0]})
	}
	return g
}

// reasons are those of a machine down a column.
func (w *Work) reasons(g *Ground, machine, col int) []zoning.Why {
	out := make([]zoning.Why, g.Grid.Rows)
	for r := range out {
		out[r] = w.Why[machine][r*g.Grid.Cols+col]
	}
	return out
}

func find(g *Ground, m ...zoning.Machine) *Work { return must(Find(context.Background(), g, m)) }

// strays counts the cells of some that are not among all.
func strays(some, all []bool) (n int) {
	for i, is := range some {
		if is && !all[i] {
			n++
		}
	}
	return n
}

func count(marks []bool) (n int) {
	for _, is := range marks {
		if is {
			n++
		}
	}
	return n
}

// works marks what a machine may work.
func (w *Work) works(machine int) []bool {
	out := make([]bool, len(w.Masks))
	for i, why := range w.Why[machine] {
		out[i] = why == zoning.Works
	}
	return out
}
