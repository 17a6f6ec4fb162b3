package canopy

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// pair is ground of which the heights between cells are known too, and what a first
// surface of it shows: stands of growth, and open ground between.
type pair struct {
	Cols, Rows int
	cellM      float64
	waves      madeGround
	reliefM    float64
}

func newPair(seed uint64) pair {
	return pair{160, 150, 2, newGround(seed, 60, 3), 1}
}

func (p pair) height(c, r float64) float64 { return 300 + p.reliefM*p.waves.smooth(c, r) }

// grown is the growth at cell coordinates, in metres: stands 12 cells across whose
// tops go up and down, on about two fifths of the ground.
func (p pair) grown(c, r float64) float64 {
	stand := math.Sin(c/7)*math.Sin(r/9) + 0.4*math.Sin((c+r)/13)
	if stand < 0.15 {
		return 0
	}
	rnd := rand.New(rand.NewPCG(uint64(c*8)+1<<20, uint64(r*8)+1<<20))
	return 2 + 10*stand + 6*rnd.Float64()
}

func (p pair) Ground(t testing.TB) *terrain.Grid {
	rnd := rand.New(rand.NewPCG(1, 1))
	return gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 {
		return p.height(float64(c)+0.5, float64(r)+0.5) + 0.03*rnd.NormFloat64()
	})
}

// surface is off the ground by cells along the rows and down the columns, and by
// metres of height.
func (p pair) Surface(t testing.TB, cols, rows, up float64) *terrain.Grid {
	rnd := rand.New(rand.NewPCG(2, 2))
	return gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 {
		x, y := float64(c)+0.5-cols, float64(r)+0.5-rows
		return p.height(x, y) + p.grown(math.Floor(x), math.Floor(y)) + up + 0.03*rnd.NormFloat64()
	})
}

// The growth put on the ground comes out again, cell by cell, within four standard
// errors of two heights of 3 cm.
func TestGrowthIsWhatStandsOnTheGround(t *testing.T) {
	p := newPair(11)
	growth, report := measured(t, p.Ground(t), p.Surface(t, 0, 0, 0), nil)
	require.Empty(t, report.Refusal())
	assert.Empty(t, report.Warnings(measure.US))
	assert.Equal(t, CellByCell, report.Laying)
	assert.Equal(t, p.Cols*p.Rows, report.Cells)
	assert.Zero(t, report.Void)
	worst := 0.0
	for i, g := range growth {
		worst = max(worst, math.Abs(float64(g)-p.grown(float64(i%p.Cols), float64(i/p.Cols))))
	}
	assert.Less(t, worst, 4.5*0.03*math.Sqrt2)
	assert.InDelta(t, 0.03*math.Sqrt2, report.SpreadM, 0.02, "of open ground, by both heights' error")
}

// A surface moved by a known amount: Nuth and Kääb's fit finds it to a tenth of a
// cell with growth on two fifths of the ground. By hand: 1 cell is 2 m.
func TestGrowthFindsAShift(t *testing.T) {
	for _, shift := range [][2]float64{{0, 0}, {0.4, 0}, {0, -0.7}, {0.9, 0.6}, {-1.5, 1.2}, {2.2, -1}} {
		t.Run(fmt.Sprint(shift), func(t *testing.T) {
			p := newPair(11)
			_, report := measured(t, p.Ground(t), p.Surface(t, shift[0], shift[1], 0), nil)
			require.Empty(t, report.Refusal())
			r := report.Registration
			require.True(t, r.Known)
			assert.InDelta(t, shift[0], r.Cols, 0.1)
			assert.InDelta(t, shift[1], r.Rows, 0.1)
			assert.InDelta(t, 2*math.Hypot(r.Cols, r.Rows), r.M, 1e-9)
			off := math.Hypot(shift[0], shift[1]) > 0.5
			assert.Equal(t, off, r.Off())
			assert.Equal(t, off, strings.Contains(strings.Join(report.Warnings(measure.US), "\n"), "off the ground"))
		})
	}
}

// Planes and single spots, worked by hand: a cell of 2 m on a slope of 50%, a surface
// of 1 m cells on it with one tree 7 m tall in a corner of a cell, a hole, and a patch
// without heights.
func TestGrowthTakesTheGreatestOfFinerCells(t *testing.T) {
	slope := func(c, r float64) float64 { return 500 + 0.5*c }
	ground := gridOf(t, 60, 40, 2, func(c, r int) float64 { return slope(2*(float64(c)+0.5), 0) })
	fine := gridOf(t, 120, 80, 1, func(c, r int) float64 {
		z := slope(float64(c)+0.5, 0)
		switch {
		case c == 41 && r == 20:
			return z + 7
		case c >= 60 && c < 64 && r >= 60 && r < 64:
			return z - 9
		case c >= 80 && c < 90 && r >= 60 && r < 64:
			return math.NaN()
		}
		return z
	})
	growth, report := measured(t, ground, fine, nil)
	at := func(c, r int) float64 { return float64(growth[r*60+c]) }
	assert.Equal(t, GreatestInCell, report.Laying)
	assert.InDelta(t, 7, at(20, 10), 1e-3, "the tree, not the slope under it")
	assert.InDelta(t, 0, at(19, 10), 1e-3, "a bare slope has no growth")
	assert.InDelta(t, 0, at(21, 10), 1e-3)
	for _, cell := range [][2]int{{30, 30}, {31, 31}, {40, 30}, {44, 31}} {
		assert.True(t, math.IsNaN(at(cell[0], cell[1])), "%v is not known, and never 0", cell)
	}
	assert.Equal(t, 10, report.Void)
	assert.Equal(t, 4, report.Below)
	assert.Equal(t, 2400, report.Cells)
	assert.Equal(t, 2400-10-4-1, report.Level)
}

// A surface of coarser cells on a plane is the plane between their middles.
func TestGrowthOfACoarserSurface(t *testing.T) {
	ground := gridOf(t, 60, 60, 2, func(c, r int) float64 { return 500 + 0.3*2*(float64(c)+0.5) })
	coarse := gridOf(t, 20, 20, 6, func(c, r int) float64 { return 504 + 0.3*6*(float64(c)+0.5) })
	growth, report := measured(t, ground, coarse, nil)
	assert.Equal(t, Between, report.Laying)
	assert.InDelta(t, 4, float64(growth[30*60+30]), 1e-3)
	assert.True(t, math.IsNaN(float64(growth[0])), "outside the outermost middles")
	assert.Contains(t, strings.Join(report.Warnings(measure.US), "\n"), "far coarser")
	assert.Equal(t, "interpolated between its cells of 6 × 6 m, which cuts tops off", report.LayingWords())
}

// Windows of one raster share its cells, wherever they begin.
func TestGrowthOfAnotherWindow(t *testing.T) {
	p := newPair(11)
	ground, surface := p.Ground(t), p.Surface(t, 0, 0, 0)
	whole, _ := measured(t, ground, surface, nil)
	part := *surface
	part.Frame, part.Col0, part.Row0, part.Cols, part.Rows = ground.Frame, 40, 30, 80, 90
	part.Z = surface.Z[30*surface.Stride+40:]
	got, report := measured(t, ground, &part, nil)
	assert.Equal(t, CellByCell, report.Laying)
	assert.Equal(t, p.Cols*p.Rows-80*90, report.Void)
	for i, g := range got {
		c, r := i%p.Cols, i/p.Cols
		if c >= 40 && c < 120 && r >= 30 && r < 120 {
			require.Equal(t, whole[i], g)
		} else {
			require.True(t, g != g)
		}
	}
}

// What is no first surface over this ground is refused with its cure. The geoid lies
// some 32 m below the ellipsoid in Tennessee (GEOID18, from memory).
func TestGrowthRefuses(t *testing.T) {
	p := newPair(11)
	ground := p.Ground(t)
	times := func(g *terrain.Grid, k, up float64) *terrain.Grid {
		return gridOf(t, g.Cols, g.Rows, p.cellM, func(c, r int) float64 { return k*g.At(c, r) + up })
	}
	for name, c := range map[string]struct {
		surface *terrain.Grid
		says    string
	}{
		"the ground itself":      {ground, "bare earth"},
		"feet":                   {times(p.Surface(t, 0, 0, 0), 1/0.3048, 0), "3.28 times those of the ground"},
		"meters taken for feet":  {times(p.Surface(t, 0, 0, 0), 0.3048, 0), "0.305 times"},
		"over the ellipsoid":     {p.Surface(t, 0, 0, -32), "32.0"},
		"ground over ellipsoid":  {p.Surface(t, 0, 0, 32), "another vertical datum"},
		"nothing but voids here": {times(ground, math.NaN(), 0), "no height anywhere"},
	} {
		_, report := measured(t, ground, c.surface, nil)
		assert.Contains(t, report.Refusal(), c.says, name)
	}
}

// What makes growth doubtful is told with its figures. By hand: 0.5 m is 1.6 ft.
func TestGrowthWarns(t *testing.T) {
	p := newPair(11)
	ground := p.Ground(t)
	warnings := func(surface *terrain.Grid) string {
		_, report := measured(t, ground, surface, nil)
		require.Empty(t, report.Refusal())
		return strings.Join(report.Warnings(measure.US), "\n")
	}
	assert.Regexp(t, `lies 0\.5\d m \(1\.[67] ft\) above the ground .* too high`, warnings(p.Surface(t, 0, 0, 0.5)))
	assert.Regexp(t, `lies 0\.(5\d|49) m \(1\.[67] ft\) below the ground .* too low`, warnings(p.Surface(t, 0, 0, -0.5)))

	mown := gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 { return ground.At(c, r) + 0.05*math.Sin(float64(c*r)) })
	assert.Contains(t, warnings(mown), "within a foot of the ground on 100.0% of the cells")

	pits := p.Surface(t, 0, 0, 0)
	for i := range pits.Z {
		if i%20 == 0 {
			pits.Z[i] -= 30
		}
	}
	assert.Contains(t, warnings(pits), "on 5.0% of the cells: growth is not known there")

	// Closed canopy is no other datum.
	rnd := rand.New(rand.NewPCG(4, 4))
	canopy := gridOf(t, p.Cols, p.Rows, p.cellM, func(c, r int) float64 { return ground.At(c, r) + 14 + 2.5*rnd.NormFloat64() })
	assert.Contains(t, warnings(canopy), "no open ground was found")
}

// On an even slope a shift along its contours shows nowhere.
func TestRegistrationWantsSlopesInSeveralDirections(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 3))
	plane := func(up float64) *terrain.Grid {
		return gridOf(t, 150, 150, 2, func(c, r int) float64 { return 300 + 0.4*float64(c) + up*rnd.Float64() })
	}
	_, report := measured(t, plane(0), plane(0.02), nil)
	assert.False(t, report.Registration.Known)
	assert.Contains(t, strings.Join(report.Warnings(measure.US), "\n"), "cannot be told")
}

// Water stands at another height in another survey: it is left out.
func TestGrowthLeavesWaterOut(t *testing.T) {
	p := newPair(11)
	ground, surface := p.Ground(t), p.Surface(t, 0, 0, 0)
	water := make([]bool, p.Cols*p.Rows)
	for i := range water {
		if water[i] = i < 60*p.Cols; water[i] {
			ground.Z[i], surface.Z[i] = 190, 187
		}
	}
	_, with := measured(t, ground, surface, nil)
	_, without := measured(t, ground, surface, water)
	assert.InDelta(t, -3, with.OffsetM, 0.1)
	assert.InDelta(t, 0, without.OffsetM, 0.1)
	assert.Equal(t, 90*p.Cols, without.Cells)
}

// A tenth of open ground under nine tenths of brush is found; and brush alone, which
// nothing tells from an offset.
func TestLowestCrowd(t *testing.T) {
	rnd := rand.New(rand.NewPCG(9, 9))
	brush := make([]float64, 9000)
	for i := range brush {
		brush[i] = 1.2 + 0.2*rnd.NormFloat64()
	}
	mixed := append([]float64{}, brush...)
	for range 1000 {
		mixed = append(mixed, 0.04*rnd.NormFloat64())
	}
	c, ok := lowestCrowd(mixed, 0.1)
	require.True(t, ok)
	assert.InDelta(t, 0, c.mid, 0.03)
	assert.InDelta(t, 0.04, c.spread, 0.02)
	c, ok = lowestCrowd(brush, 0.1)
	require.True(t, ok)
	assert.InDelta(t, 1.2, c.mid, 0.1)
	assert.InDelta(t, 0.2, c.spread, 0.05)
	_, ok = lowestCrowd(brush[:crowdFew-1], 0.1)
	assert.False(t, ok)
}
