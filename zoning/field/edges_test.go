package field_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/field"
)

// A place is of the cell that it lies in, to the window's edges and not beyond; ground that
// no slope decides has no spot.
func TestAPlaceIsOfItsCell(t *testing.T) {
	g := planeOf(t, 10, 8, func(col, row int) float64 { return float64(1 + 2*col + row) })
	for _, at := range [][2]float64{{0.01, 0.01}, {9.99, 7.99}, {3.99, 2.99}, {4.01, 3.01}, {0.5, 7.5}, {9.5, 0.5}} {
		s, ok := g.At(spotOf(t, g, at[0], at[1]))
		require.True(t, ok, "%v", at)
		assert.InDelta(t, 1+2*math.Floor(at[0])+math.Floor(at[1]), s.MappedPct, 1e-5, "%v", at)
		col, row := cellOf(g, s.At)
		assert.Equal(t, [2]int{int(at[0]), int(at[1])}, [2]int{col, row})
	}
	for _, at := range [][2]float64{{-0.01, 4}, {10.01, 4}, {4, -0.01}, {4, 8.01}} {
		_, ok := g.At(spotOf(t, g, at[0], at[1]))
		assert.False(t, ok, "%v", at)
	}
	for mask, ok := range map[zoning.Mask]bool{zoning.NoGo: false, zoning.Unknown: false, 0: true, 1: true} {
		g.Cells.Masks[0] = mask
		_, has := g.At(spotOf(t, g, 0.5, 0.5))
		assert.Equal(t, ok, has)
	}
}

// The fall line is taken over a machine's length, from what heights there are: beside a
// void from the other side, towards the east here by hand.
func TestTheFallLineBesideVoids(t *testing.T) {
	for name, hole := range map[string]func(dc, dr int) bool{
		"whole":       func(_, _ int) bool { return false },
		"no east":     func(dc, _ int) bool { return dc > 0 },
		"no west":     func(dc, _ int) bool { return dc < 0 },
		"no north":    func(_, dr int) bool { return dr < 0 },
		"no south":    func(_, dr int) bool { return dr > 0 },
		"all but one": func(dc, dr int) bool { return dc < 0 || dr < 0 },
	} {
		g := groundOf(t, 15, 15, 1, 0, func(x, y float64) float64 { return 100 - 0.3*x - 0.1*y })
		for i := range g.Grid.Z {
			if hole(i%15-7, i/15-7) {
				g.Grid.Z[i] = float32(math.NaN())
			}
		}
		s, ok := g.At(spotOf(t, g, 7.5, 7.5))
		require.True(t, ok)
		// Down by 3 to the east and 1 to the south.
		assert.InDelta(t, 90+math.Atan(1.0/3)*180/math.Pi, s.DownhillDeg, 0.3, name)
	}
	g := groundOf(t, 15, 15, 1, 0, func(x, y float64) float64 { return 100 - 0.3*x - 0.1*y })
	for i := range g.Grid.Z {
		if c := i % 15; c != 7 {
			g.Grid.Z[i] = float32(math.NaN())
		}
	}
	s, _ := g.At(spotOf(t, g, 7.5, 7.5))
	assert.True(t, math.IsNaN(s.DownhillDeg), "nothing on either side")
	level := groundOf(t, 15, 15, 1, 0, func(_, _ float64) float64 { return 3 })
	s, _ = level.At(spotOf(t, level, 7.5, 7.5))
	assert.True(t, math.IsNaN(s.DownhillDeg), "level")
	// A lone rough cell does not turn it: heights 1 m to either side are passed over for
	// those 1.5 m off, rounded down, on cells of half a metre three cells.
	rough := groundOf(t, 30, 30, 0.5, 0, func(x, y float64) float64 { return 100 - 0.3*x })
	rough.Grid.Z[15*30+16] += 2
	rough.Grid.Z[15*30+17] += 2
	s, _ = rough.At(spotOf(t, rough, 15.5, 15.5))
	assert.InDelta(t, 90, s.DownhillDeg, 0.3)
	rough.Grid.Z[15*30+18] += 2
	s, _ = rough.At(spotOf(t, rough, 15.5, 15.5))
	assert.Greater(t, math.Abs(s.DownhillDeg-90), 20.0)
}

// A slope is sighted along the fall line in metres, on cells that are not square too.
func TestSightOnCellsThatAreNotSquare(t *testing.T) {
	const cols, rows, w, h = 60, 60, 2.0, 1.0
	z := make([]float32, cols*rows)
	for i := range z {
		x, y := w*(float64(i%cols)+0.5), h*(float64(i/cols)+0.5)
		z[i] = float32(500 - 0.3*x - 0.6*y)
	}
	grid, err := terrain.NewGrid(z, cols, rows, w, h)
	require.NoError(t, err)
	slopes := must(slope.Of(grid))
	g := field.Ground{Cells: &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, len(z)), Cols: cols, Rows: rows, Frame: grid.Frame}}, Grid: grid, Field: slopes, Fleet: machines, On: zoning.Dry}
	for i := range g.Cells.Masks {
		g.Cells.Masks[i] = 1 << 2
		// People walk where x - 60 ≥ 12 and only there.
		if col := i % cols; col < 36 {
			slopes.Squared[i] = 1
		} else {
			slopes.Squared[i] = 0.01
		}
	}
	g.Lots = []zoning.LotMap{lotOf(t, g, "a", 0, 0, cols, rows)}
	g.Hazards = []field.Hazard{{At: spotOf(t, g, 30.5, 20.5), Words: "mark"}}
	for _, s := range pick(t, g, field.Options{PerZone: 10}).Spots {
		if len(s.Why) == 0 || s.Why[len(s.Why)-1].Words != "mark" {
			continue
		}
		require.NotNil(t, s.Sight)
		// From x = 61 to 72 along (1, 2)/√5: 11·√5 = 24.6 m, in steps of half a metre.
		assert.Equal(t, "toe", s.Sight.From)
		assert.InDelta(t, 11*math.Sqrt(5), s.Sight.DistanceM, 0.5)
		col, row := cellOf(g, s.Sight.At)
		assert.Equal(t, [2]int{36, 42}, [2]int{col, row}, "22 m south of 20.5")
		return
	}
	t.Fatal("the mark has a spot")
}

// With one reading there is a worst difference and no spread; with two there is one.
func TestSpreadNeedsTwoReadings(t *testing.T) {
	c := checksOf(spotAt("S01", 20), spotAt("S02", 20))
	judge := func(slopes ...float64) field.Verdict {
		var readings []field.Reading
		for i, s := range slopes {
			readings = append(readings, field.Reading{ID: []string{"S01", "S02"}[i], SlopePct: s})
		}
		compared, err := c.Match("r", readings, nil)
		require.NoError(t, err)
		return must(c.Judge(compared))
	}
	one := judge(17)
	assert.InDelta(t, -3, one.SteeperPct, 1e-12)
	assert.InDelta(t, -3, one.BiasPct, 1e-12)
	assert.True(t, math.IsNaN(one.SpreadPct))
	two := judge(17, 21)
	assert.InDelta(t, 1, two.SteeperPct, 1e-12)
	assert.InDelta(t, math.Sqrt(8), two.SpreadPct, 1e-12)
	assert.True(t, math.IsNaN(judge().SteeperPct))
	assert.Equal(t, "S01", pick(t, planeOf(t, 30, 30, level(10)), field.Options{}).Spots[0].ID, "two digits at the least")
}

// A lot's rim is found on all four of its sides.
func TestTheRimIsOnAllSides(t *testing.T) {
	for _, gentle := range [][4]int{{5, 18, 22, 22}, {18, 5, 22, 22}, {18, 18, 35, 22}, {18, 18, 22, 35}} {
		g := planeOf(t, 40, 40, func(col, row int) float64 {
			if col >= gentle[0] && col < gentle[2] && row >= gentle[1] && row < gentle[3] {
				return 10
			}
			return 90
		})
		walked := func(lots ...zoning.LotMap) (n int) {
			g.Lots = lots
			for _, s := range pick(t, g, field.Options{PerZone: 400}).Spots {
				if s.Sight == nil {
					n++
				}
			}
			return n
		}
		assert.Positive(t, walked(lotOf(t, g, "a", 5, 5, 35, 35)), "a gentle way in from one side: %v", gentle)
		assert.Zero(t, walked(lotOf(t, g, "a", 3, 3, 37, 37)), "that does not come to the side: %v", gentle)
	}
}

// The fall line is told to the window's edges and corners.
func TestTheFallLineAtTheEdges(t *testing.T) {
	g := groundOf(t, 12, 9, 1, 0, func(x, y float64) float64 { return 100 - 0.3*x - 0.3*y })
	for _, at := range [][2]float64{{0.5, 0.5}, {11.5, 0.5}, {0.5, 8.5}, {11.5, 8.5}, {5.5, 0.5}, {0.5, 4.5}, {1.5, 1.5}} {
		s, ok := g.At(spotOf(t, g, at[0], at[1]))
		require.True(t, ok)
		assert.InDelta(t, 135, s.DownhillDeg, 0.3, "%v", at)
	}
}
