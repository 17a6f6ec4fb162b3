package quality

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// scattered is a window of a wider grid, of odd sides among others, in which heights are alike,
// all but alike, unlike or void as chance has it, with zeros of both signs and the least floats.
func scattered(rnd *rand.Rand) *terrain.Grid {
	cols, rows := 1+rnd.IntN(9), 1+rnd.IntN(9)
	g := must(terrain.NewGrid(make([]float32, (cols+2)*rows), cols+2, rows, 1, 1))
	g.Cols, g.Z0 = cols, rnd.IntN(3)-1
	least := math.Float32frombits(1)
	kinds := []float32{0, float32(math.Copysign(0, -1)), least, -least, 1e-30, 0.003, 0.006, 0.0061, 1, float32(math.NaN()), -1, 300}
	few := 2 + rnd.IntN(len(kinds)-1)
	for i := range g.Z {
		g.Z[i] = kinds[rnd.IntN(few)]
		if rnd.IntN(4) == 0 {
			g.Z[i] += 0.02 * rnd.Float32()
		}
	}
	return g
}

// What looks at most cells once, or at several together, finds what the plain definition does.
func TestAsByThePlainDefinition(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 9))
	for range 20000 {
		g := scattered(rnd)
		z := func(c, r int) float32 { return g.Z[r*g.Stride+c] }
		var cells, lowest, highest, zero int
		low, high := math.Inf(1), math.Inf(-1)
		taken := make([]bool, g.Cols*g.Rows)
		w, h := g.MiddleCellM()
		s := &calm{Grid: g, most: calmMost(w, h)}
		calmAt, flatAt := map[int]bool{}, map[int]bool{}
		for r := range g.Rows {
			for c := range g.Cols {
				taken[r*g.Cols+c] = rnd.IntN(20) == 0
				if v := float64(z(c, r)); v == v {
					low, high, cells = min(low, v), max(high, v), cells+1
				}
				for _, n := range [][2]int{{c - 1, r}, {c + 1, r}, {c, r - 1}, {c, r + 1}} {
					if n[0] >= 0 && n[1] >= 0 && n[0] < g.Cols && n[1] < g.Rows && z(n[0], n[1]) == z(c, r) {
						flatAt[r*g.Cols+c] = true
					}
				}
			}
		}
		for r := range g.Rows {
			for c := range g.Cols {
				switch v := float64(z(c, r)); {
				case v == low:
					lowest++
				case v == high:
					highest++
				}
				if z(c, r) == float32(-g.Z0) {
					zero++
				}
				if c == 0 || r == 0 || c == g.Cols-1 || r == g.Rows-1 || !(s.rangeAt(c, r) <= s.most) {
					continue
				}
				for i := range 9 {
					if at := (r+i/3-1)*g.Cols + c + i%3 - 1; !taken[at] {
						calmAt[at] = true
					}
				}
			}
		}

		heights, n := heightRange(g, nil)
		require.Equal(t, cells, n, "%v", g)
		for _, k := range heights {
			switch v := float64(k.z); {
			case v == low:
				require.Equal(t, lowest, k.cells, "the lowest of %v", g)
			case v == high:
				require.Equal(t, highest, k.cells, "the highest of %v", g)
			case v == float64(-g.Z0):
				require.Equal(t, zero, k.cells, "zeros of %v", g)
			default:
				require.Zero(t, k.cells, "%v of %v", k.z, g)
			}
		}

		s.mark(taken, nil)
		for i := range taken {
			require.Equal(t, calmAt[i], s.in != nil && s.in[i] == calmCell, "calm cell %d of %v", i, g)
		}

		flats := map[int]bool{}
		for _, run := range findFlats(g, nil) {
			for c := run.c0; c < run.c1; c++ {
				flats[int(run.row)*g.Cols+int(c)] = true
			}
		}
		require.Equal(t, flatAt, flats, "flats of %v", g)
	}
}
