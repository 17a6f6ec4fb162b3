package trafficability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// facesOf are the faces of a grid that fall by a rise over run, followed until they are so high.
func facesOf(g *terrain.Grid, rise, mostM float64) *faces {
	field := slope.NewField(g)
	if err := slope.Rows(g, 0, g.Rows, field); err != nil {
		panic(err)
	}
	return &faces{lie: lieOf(g), ground: &Ground{Grid: g, Field: field}, rise: rise, mostM: mostM}
}

// gridOf is a grid of heights row by row, on cells of so many meters.
func gridOf(t *testing.T, w, h float64, rows ...[]float32) *terrain.Grid {
	t.Helper()
	var z []float32
	for _, row := range rows {
		z = append(z, row...)
	}
	return must(terrain.NewGrid(z, len(rows[0]), len(rows), w, h))
}

// Between the middles of cells height is bilinear; beyond the last ones it is not known.
func TestHeightBetweenCells(t *testing.T) {
	f := facesOf(gridOf(t, 1, 1, []float32{0, 1, 9}, []float32{2, 4, 9}, []float32{9, 9, 9}), 0.5, 3)
	for _, c := range []struct{ col, row, want float64 }{
		{0, 0, 0}, {0.25, 0, 0.25}, {0, 0.5, 1}, {0.25, 0.5, 1.375}, {1, 1, 4}, {1.5, 0, 5}, {1.25, 1.75, 8.0625}, {1.9, 1.9, 8.95},
		{-0.01, 0, math.NaN()}, {0, -0.01, math.NaN()}, {2, 0, math.NaN()}, {0, 2, math.NaN()},
	} {
		got := f.heightAt(c.col, c.row)
		if c.want != c.want {
			assert.True(t, math.IsNaN(got), "%+v", c)
		} else {
			assert.InDelta(t, c.want, got, 1e-9, "%+v", c)
		}
	}
}

// Straight down is where the weighted neighbors fall, by a cell's shorter side, on square, oblong
// and skewed cells, whether aspects are known or not; it is unknown at the edge, and on the level.
func TestTheWayStraightDown(t *testing.T) {
	one := func(higher ...int) *faces { // of the eight around the middle, row by row
		z := make([]float32, 9)
		for _, i := range higher {
			z[i] = 1
		}
		return facesOf(must(terrain.NewGrid(z, 3, 3, 1, 1)), 0.5, 3)
	}
	for _, c := range []struct {
		higher []int
		dc, dr float64 // before it is made one cell long
	}{
		{[]int{0}, 1, 1}, {[]int{2}, -1, 1}, {[]int{6}, 1, -1}, {[]int{8}, -1, -1},
		{[]int{1}, 0, 1}, {[]int{3}, 1, 0}, {[]int{5}, -1, 0}, {[]int{7}, 0, -1},
		{[]int{0, 3}, 3, 1}, {[]int{0, 1}, 1, 3}, {[]int{8, 5}, -3, -1}, {[]int{8, 7}, -1, -3}, {[]int{2, 5}, -3, 1}, {[]int{6, 7}, 1, -3},
	} {
		dc, dr, ok := one(c.higher...).downhillFrom(1, 1)
		require.True(t, ok)
		long := math.Hypot(c.dc, c.dr)
		assert.InDelta(t, c.dc/long, dc, 1e-9, "%v", c.higher)
		assert.InDelta(t, c.dr/long, dr, 1e-9, "%v", c.higher)
	}
	_, _, ok := one().downhillFrom(1, 1)
	assert.False(t, ok, "level")

	// A plane that falls by 0.3 to the east and 0.4 to the south: 3 parts to 4 on the ground.
	plane := func(x, y float64) float64 { return -0.3*x - 0.4*y }
	for name, c := range map[string]struct {
		ground *Ground
		dc, dr float64 // 0.6 and 0.8 of the shorter side
	}{
		"oblong":   {made(t, 7, 6, 2, 3, plane), 1.2 / 2, 1.6 / 3},
		"standing": {made(t, 7, 6, 3, 2, plane), 1.2 / 3, 1.6 / 2},
		"skewed":   {skewed(t, 7, 6, [2]float64{2, 0}, [2]float64{1, -3}, plane), (1.2 - 1.6/3) / 2, 1.6 / 3},
	} {
		known := faces{lie: lieOf(c.ground.Grid), ground: c.ground}
		field := *c.ground.Field
		field.Aspect = nil
		unknown := faces{lie: known.lie, ground: &Ground{Grid: c.ground.Grid, Field: &field}}
		for _, at := range [][2]int{{1, 1}, {5, 4}, {3, 2}} {
			dc, dr, ok := unknown.downhillFrom(at[0], at[1])
			require.True(t, ok, "%s, %v", name, at)
			assert.InDeltaSlice(t, []float64{c.dc, c.dr}, []float64{dc, dr}, 1e-4, "%s, %v", name, at)
			dc, dr, ok = known.downhillFrom(at[0], at[1])
			require.True(t, ok, "%s, %v", name, at)
			assert.InDeltaSlice(t, []float64{c.dc, c.dr}, []float64{dc, dr}, 0.02, "%s, %v: to a step of aspect", name, at)
		}
		for _, at := range [][2]int{{0, 2}, {6, 2}, {2, 0}, {2, 5}} {
			_, _, ok := unknown.downhillFrom(at[0], at[1])
			assert.False(t, ok, "%s: at the edge, %v", name, at)
		}
	}
	flat := level(t, 5, 5, 1)
	_, _, ok = (&faces{lie: lieOf(flat.Grid), ground: flat}).downhillFrom(2, 2)
	assert.False(t, ok)
}

// The crest lies where the slope passes the limit, between the two middles; its height counts from
// the upper one. On a face of 50% it falls as far as the face does, and no farther than asked.
func TestACrestBetweenTwoCells(t *testing.T) {
	for _, across := range []bool{false, true} {
		face := func(bottomM float64) *faces { // from 10 m on, which is between cells 9 and 10
			cols, rows := 9, 40
			if across {
				cols, rows = rows, cols
			}
			g := made(t, cols, rows, 1, 1, func(x, y float64) float64 {
				if across {
					x, y = y, x
				}
				return 7 - min(max(y-10, 0)*0.5, bottomM)
			})
			return &faces{lie: lieOf(g.Grid), ground: g, rise: 0.3, mostM: 4}
		}
		at := func(f *faces, up int) crest {
			if across {
				return f.between(4*f.cols+up, 4*f.cols+up+1)
			}
			return f.between(up*f.cols+4, (up+1)*f.cols+4)
		}
		f := face(30)
		x := at(f, 9) // 12.5% and 37.5%
		spot, beside := x.row, x.col
		if across {
			spot, beside = beside, spot
		}
		assert.InDelta(t, 9.7, spot, 1e-5)
		assert.Equal(t, float32(4), beside)
		assert.InDelta(t, 7, x.z, 1e-6)
		assert.InDelta(t, 4, x.faceM, 1e-6, "no more than asked")
		if across {
			assert.Equal(t, int32(4*f.cols+10), x.down)
		} else {
			assert.Equal(t, int32(10*f.cols+4), x.down)
		}
		// Where neither passes the limit it lies at the end that is nearer to it.
		f.rise = 0.1
		x = at(f, 9)
		assert.InDelta(t, 9, max(x.row, x.col), 1e-5)
		f.rise = 0.45
		x = at(f, 9)
		assert.InDelta(t, 10, max(x.row, x.col), 1e-5)
		x = at(f, 8)
		assert.InDelta(t, 9, max(x.row, x.col), 1e-5, "0 and 12.5%")
		x = at(face(2), 9)
		assert.InDelta(t, 2, x.faceM, 1e-5, "the whole face")
		f = face(2)
		f.mostM = 1.7
		assert.InDelta(t, 1.7, at(f, 9).faceM, 1e-6)
	}
	// On coarse cells it is followed as far: 4 m at 30% and a ledge are 6 cells of 3 m.
	g := made(t, 9, 20, 3, 3, func(_, y float64) float64 { return -0.5 * max(y-15, 0) })
	f := &faces{lie: lieOf(g.Grid), ground: g, rise: 0.3, mostM: 4}
	assert.InDelta(t, 4, f.between(4*9+4, 5*9+4).faceM, 1e-6)
	g = made(t, 9, 90, 0.5, 0.5, func(_, y float64) float64 { return -0.35 * max(y-4, 0) })
	f = &faces{lie: lieOf(g.Grid), ground: g, rise: 0.3, mostM: 4}
	assert.InDelta(t, 4, f.between(7*9+4, 8*9+4).faceM, 1e-6, "over 11.4 m, 23 cells of half a meter")
}

// The box holds the cells driven on and those as far as asked around, with a cell for rounding and
// one to look back to, within the window.
func TestTheBoxAroundWhatIsDrivenOn(t *testing.T) {
	for _, c := range []struct {
		cells [][2]int
		want  [4]int
	}{
		{[][2]int{{30, 20}, {33, 22}}, [4]int{30 - 8, 20 - 8, 34 + 8, 23 + 8}},
		{[][2]int{{33, 20}, {30, 22}, {31, 21}, {32, 21}}, [4]int{22, 12, 42, 31}},
		{[][2]int{{8, 9}, {50, 40}}, [4]int{0, 1, 59, 49}},
		{[][2]int{{7, 7}, {51, 41}}, [4]int{0, 0, 60, 50}},
		{[][2]int{{0, 0}, {59, 49}}, [4]int{0, 0, 60, 50}},
	} {
		g := level(t, 60, 50, 1)
		g.Drive = make([]bool, 3000)
		for _, at := range c.cells {
			g.Drive[at[1]*60+at[0]] = true
		}
		c0, r0, c1, r1 := (&faces{lie: lieOf(g.Grid), ground: g}).around(5.2)
		assert.Equal(t, c.want, [4]int{c0, r0, c1, r1}, "%v: 6 and 2 more", c.cells)
	}
	g := level(t, 60, 50, 2)
	g.Drive = make([]bool, 3000)
	g.Drive[25*60+30] = true
	c0, r0, c1, r1 := (&faces{lie: lieOf(g.Grid), ground: g}).around(5.2)
	assert.Equal(t, [4]int{25, 20, 36, 31}, [4]int{c0, r0, c1, r1}, "3 and 2 more")
}

// cellsNear marks the cells around a crest, and counts them.
func cellsNear(t *testing.T, g *terrain.Grid, x crest, metres float64) (n int, at []bool) {
	t.Helper()
	l := lieOf(g)
	cells, disc := l.noCells(), l.crestDisc(g, metres)
	disc.addTo(cells, x)
	first, last := disc.rowsAround(x)
	for r := range g.Rows {
		assert.False(t, (r < first || r > last) && !isZero(cells.row(r)), "row %d is not around", r)
	}
	at = l.marked(cells)
	return count(at), at
}

// Nearer than five cells' sides lie 69 cells, of which a quarter with both axes are 22; what lies
// at that very distance is not nearer. Of oblong and skewed cells it is the distance that counts.
func TestTheCellsNearACrest(t *testing.T) {
	for _, cellM := range []float64{0.5, 1, 2} {
		g := level(t, 21, 17, cellM).Grid
		for at, want := range map[[2]float32]int{{10, 8}: 69, {0, 0}: 22, {20, 0}: 22, {0, 16}: 22, {20, 16}: 22} {
			n, _ := cellsNear(t, g, crest{col: at[0], row: at[1], faceM: 1}, 5*cellM)
			assert.Equal(t, want, n, "%v on %g m", at, cellM)
		}
		n, _ := cellsNear(t, g, crest{col: 10, row: 8, faceM: 1}, 5.001*cellM)
		assert.Equal(t, 81, n, "and the twelve")
	}
	for name, g := range map[string]*Ground{
		"oblong":   made(t, 40, 40, 2, 3, func(_, _ float64) float64 { return 0 }),
		"standing": made(t, 40, 40, 0.7, 0.4, func(_, _ float64) float64 { return 0 }),
		"skewed":   skewed(t, 40, 40, [2]float64{1, 0.2}, [2]float64{0.5, -0.8}, func(_, _ float64) float64 { return 0 }),
		"back":     skewed(t, 40, 40, [2]float64{1, 0.2}, [2]float64{-0.5, -0.8}, func(_, _ float64) float64 { return 0 }),
	} {
		l := lieOf(g.Grid)
		_, near := cellsNear(t, g.Grid, crest{col: 19.25, row: 20.5, faceM: 1}, 5.3)
		for i := range 1600 {
			u, v := float64(i%40)-19.25, float64(i/40)-20.5
			assert.Equal(t, l.e*u*u+2*l.f*u*v+l.g*v*v < 5.3*5.3, near[i], "%s, %d", name, i)
		}
	}
	// What lies below the middle of the face is not above the crest.
	g := gridOf(t, 1, 1, []float32{0.99, 1, 1.01, 2}, []float32{3, 0, 1, 1.5})
	_, near := cellsNear(t, g, crest{z: 2, faceM: 2}, 10)
	assert.Equal(t, []bool{false, false, true, true, true, false, false, true}, near)
}

// Of windows of many words a row, and of skewed cells, the cells nearer than a distance and higher
// than the middle of the face are added, and none is lost that a set had before; a void is not
// higher.
func TestTheCellsNearACrestInManyWords(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 1))
	for _, cols := range []int{1, 63, 64, 65, 130, 200} {
		for _, g := range []*Ground{level(t, cols, 30, 1), skewed(t, cols, 30, [2]float64{1, 0.2}, [2]float64{0.5, -0.8}, func(_, _ float64) float64 { return 0 })} {
			for i := range g.Grid.Z {
				if g.Grid.Z[i] = float32(rnd.NormFloat64()); rnd.IntN(10) == 0 {
					g.Grid.Z[i] = float32(math.NaN())
				}
			}
			l := lieOf(g.Grid)
			got, want := l.noCells(), make([]bool, cols*30)
			for range 5 {
				before := rnd.IntN(cols * 30)
				got.add(before)
				want[before] = true
				x := crest{col: float32(cols) * rnd.Float32(), row: 30 * rnd.Float32(), z: rnd.Float32(), faceM: 2 * rnd.Float32()}
				metres := 70 * rnd.Float64() * rnd.Float64()
				disc := l.crestDisc(g.Grid, metres)
				disc.addTo(got, x)
				for i, z := range g.Grid.Z {
					u, v := float64(i%cols)-float64(x.col), float64(i/cols)-float64(x.row)
					want[i] = want[i] || l.e*u*u+2*l.f*u*v+l.g*v*v < metres*metres && z > x.z-x.faceM/2
				}
			}
			assert.Equal(t, want, l.marked(got), "%d columns", cols)
		}
	}
}

// A face's height is the greatest fall, from where it is followed, that is as steep on the whole: on
// the way down, step by step, until it eases for longer than a ledge. What is less high than is
// asked for is none.
func TestHeightsOfFacesStepByStep(t *testing.T) {
	some := 0
	for seed := range uint64(6) {
		g := made(t, 90, 80, 1.5, 1, hills(seed, 50, 12))
		for _, rise := range []float64{0.1, 0.2, 0.4} {
			f := faces{lie: lieOf(g.Grid), ground: g, rise: rise, mostM: CrestFaceM}
			plain := func(col, row, z float64) (most float64) {
				u, v := col, row
				for way := 0.0; way < (CrestFaceM/rise+ledgeM)/f.shortM && most < CrestFaceM; way++ {
					dc, dr, ok := f.downhillFrom(int(u+0.5), int(v+0.5))
					u, v = u+dc, v+dr
					fall, run := z-f.heightAt(u, v), math.Hypot(1.5*(u-col), v-row)
					if !ok || !(fall > rise*(run-ledgeM)) {
						break
					}
					if fall >= rise*run {
						most = max(most, min(fall, CrestFaceM))
					}
				}
				return most
			}
			for i := range g.Lots {
				col, row, z := float64(i%90)+0.25, float64(i/90), float64(g.Grid.Z[i])
				want := plain(col, row, z)
				for _, least := range []float64{0, 1, 2, CrestFaceM} {
					f.leastM = least
					got := f.heightM(col, row, z)
					if float64(float32(want)) < least {
						assert.Zero(t, got, "seed %d, %d", seed, i)
					} else {
						assert.InDelta(t, want, got, 1e-12, "seed %d, %d", seed, i)
						some++
					}
				}
			}
		}
	}
	assert.Greater(t, some, 10000)
}
