package flow

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
)

// widening is a frame on the equator whose columns grow wider to the east and whose rows grow taller
// to the south: at a place they are w + 2 c·dw and h + 2 r·dh meters.
func widening(t *testing.T, w, dw, h, dh float64) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(1, 0, 0, 120, 120, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{(w*c[0] + dw*c[0]*c[0]) / 111319.4908, -(h*c[1] + dh*c[1]*c[1]) / 110574.2727} // meters in a degree at the equator, WGS84
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// What is not told is a planning value; areas are as many cells at least as tell a line or a hollow.
func TestOptionsThatAreNotTold(t *testing.T) {
	for _, c := range []struct {
		told   Options
		cellM2 float64
		want   Options
	}{
		{Options{}, 1, Options{LineM2: 4046.8564224, HollowDepthM: 0.3048, HollowM2: 25}},
		{Options{LineM2: -1, HollowDepthM: math.NaN(), HollowM2: -1}, 1, Options{LineM2: 4046.8564224, HollowDepthM: 0.3048, HollowM2: 25}},
		{Options{LineM2: 300, HollowDepthM: 0.1, HollowM2: 10}, 1, Options{LineM2: 300, HollowDepthM: 0.1, HollowM2: 10}},
		{Options{LineM2: 249, HollowM2: 8}, 1, Options{LineM2: 250, HollowDepthM: 0.3048, HollowM2: 9}},
		{Options{}, 100, Options{LineM2: 25000, HollowDepthM: 0.3048, HollowM2: 900}},
	} {
		assert.Equal(t, c.want, c.told.filled(c.cellM2), "%+v", c.told)
	}
	for depthM, is := range map[float64]bool{0.304: false, 0.306: true} {
		for cells, large := range map[int]bool{4: false, 5: true} { // 24 and 30 m² of 6 a row
			d := must(Drain(t.Context(), gridOf(t, 10, 10, 1, 1, func(c, r int) float64 {
				if c > 0 && c < 7 && r > 0 && r <= cells {
					return 9 - depthM
				}
				return 9
			}), Options{}))
			assert.Equal(t, is && large, len(d.Hollows) == 1, "%g m, %d rows", depthM, cells)
		}
	}
}

// A window's cell is that of its middle, wherever it lies in the raster: at column 20 + 40/2 and row
// 10 + 30/2 of this one 3.6 by 4.25 m.
func TestTheCellOfAWindowsMiddle(t *testing.T) {
	g := gridOf(t, 40, 30, 1, 1, func(c, r int) float64 { return 50 - float64(c+r) })
	g.Frame, g.Col0, g.Row0 = widening(t, 2, 0.02, 3, 0.025), 20, 10
	d := must(Drain(t.Context(), g, Options{LineM2: 1}))
	assert.InEpsilon(t, 250*3.6*4.25, d.LineM2, 1e-3)

	g.Cols, g.Rows, g.Stride, g.Z = 6, 5, 6, g.Z[:30]
	w, h := 2+0.04*23, 3+0.05*12.5
	for i := range 30 {
		c0, r0 := i%6, i/6
		d := &Drainage{Cols: 6, Rows: 5, Lines: []Line{{MouthM2: 7, Path: [][2]float64{{float64(20+c0) + 0.5, float64(10+r0) + 0.5}}}}}
		cells, metres := d.NearestLine(g, 7)
		for j := range cells {
			require.EqualValues(t, i, cells[j], "from %d", j)
			assert.InDelta(t, math.Hypot(w*float64(j%6-c0), h*float64(j/6-r0)), metres[j], 0.02, "from %d to %d", j, i)
		}
		cells, metres = d.NearestLine(g, 7.1)
		assert.EqualValues(t, -1, cells[3])
		assert.True(t, math.IsInf(float64(metres[3]), 1), "no line has so much")
	}
}

// Water goes where a meter's fall is nearest, by the cell of its own row: rows are 3 m tall as
// columns are wide at row 20, which is the window's tenth.
func TestWaysDownByTheCellOfTheRow(t *testing.T) {
	g := gridOf(t, 9, 24, 1, 1, func(c, r int) float64 {
		switch {
		case c == 5 && r%3 == 1:
			return 10
		case c == 6 && r%3 == 1 || c == 5 && r%3 == 2:
			return 9
		}
		return 20
	})
	g.Frame, g.Row0, g.Col0 = widening(t, 3, 0, 2, 0.025), 10, 4
	r := newRouting(g, nil, nil)
	r.descend()
	for row := 1; row < 23; row += 3 {
		want := south
		if row >= 10 {
			want = east
		}
		assert.EqualValues(t, want, r.dir[row*9+5], "row %d", row)
	}
	assert.Same(t, &g.Z[0], &r.z[0], "heights without voids are not copied")
}

// A line's cells are those of its path and all between its points, which lie along rows, columns
// and diagonals.
func TestTheCellsOfALine(t *testing.T) {
	g := gridOf(t, 20, 12, 1, 1, func(c, r int) float64 { return 0 })
	g.Col0, g.Row0 = 100, 200
	at := func(c, r int) [2]float64 { return [2]float64{float64(100+c) + 0.5, float64(200+r) + 0.5} }
	line := Line{Path: [][2]float64{at(2, 1), at(5, 1), at(8, 4), at(8, 7), at(6, 9), at(3, 9), at(3, 8)}}
	got, want := map[int]bool{}, map[int]bool{}
	line.eachCell(g, func(i int) { got[i] = true })
	for _, c := range [][2]int{{2, 1}, {3, 1}, {4, 1}, {5, 1}, {6, 2}, {7, 3}, {8, 4}, {8, 5}, {8, 6}, {8, 7}, {7, 8}, {6, 9}, {5, 9}, {4, 9}, {3, 9}, {3, 8}} {
		want[c[1]*20+c[0]] = true
	}
	assert.Equal(t, want, got)
}

// Channels of one cell that leave the window at once are no lines; their cells are wet. A cell more
// and each is a line, from its first to its last middle.
func TestALineHasTwoCells(t *testing.T) {
	g := gridOf(t, 3, 260, 1, 1, func(c, r int) float64 { return 300 - float64(r) })
	for least, lines := range map[float64]int{260: 0, 259: 3} {
		d := must(Drain(t.Context(), g, Options{LineM2: least}))
		assert.Len(t, d.Lines, lines)
		wet := 0
		for _, run := range d.Wet {
			wet += run.To - run.From
			assert.GreaterOrEqual(t, run.From, 3*(int(least)-1))
		}
		assert.Equal(t, 3*(261-int(least)), wet)
		for c, l := range d.Lines {
			assert.Equal(t, Line{Path: [][2]float64{{float64(c) + 0.5, 258.5}, {float64(c) + 0.5, 259.5}}, LengthM: l.LengthM, HeadM2: l.HeadM2, MouthM2: l.MouthM2, Next: -1}, l)
			assert.InDeltaSlice(t, []float64{1, 259, 260}, []float64{l.LengthM, l.HeadM2, l.MouthM2}, 1e-3)
		}
	}
}

// Drainage that was not made by Drain has no cells to cross.
func TestCrossingsOfNothing(t *testing.T) {
	for _, d := range []*Drainage{nil, {}, {Cols: 3}, {Rows: 3}, {Cols: -1, Rows: -1}} {
		n, err := d.Crossings(nil)
		assert.ErrorContains(t, err, "the drainage is that of no cells")
		assert.Zero(t, n)
	}
	_, err := (&Drainage{Cols: 2, Rows: 2, Wet: []runs.Run{{From: 1, To: 3}}}).Crossings(nil)
	assert.ErrorContains(t, err, "of wet cells there is a run from cell 1 to 3")
}
