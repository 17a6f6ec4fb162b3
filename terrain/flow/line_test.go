package flow

import (
	"context"
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/runs"
)

// cellsOf lists the cells that a line's path goes through.
func cellsOf(t *testing.T, d *Drainage, l Line) (cells [][2]int) {
	for k, p := range l.Path {
		to := [2]int{int(p[0] - 0.5), int(p[1] - 0.5)}
		if k == 0 {
			cells = append(cells, to)
			continue
		}
		at := cells[len(cells)-1]
		dc, dr := to[0]-at[0], to[1]-at[1]
		n := max(dc, -dc, dr, -dr)
		require.Zero(t, dc%n)
		require.Zero(t, dr%n)
		for range n {
			at = [2]int{at[0] + dc/n, at[1] + dr/n}
			cells = append(cells, at)
		}
	}
	return cells
}

func TestLinesAreTheChannels(t *testing.T) {
	g := hills(t, 300, 260, 1)
	const lineM2 = 300
	d := must(Drain(context.Background(), g, Options{LineM2: lineM2}))
	_, _, upslope := routed(g, nil)
	require.Greater(t, len(d.Lines), 20)
	first := map[[2]int]int{}
	for n, l := range d.Lines {
		first[cellsOf(t, d, l)[0]] = n
	}
	own := map[[2]int]int{}
	for _, l := range d.Lines {
		cells := cellsOf(t, d, l)
		length := 0.0
		for k, c := range cells {
			require.GreaterOrEqual(t, int(upslope[c[1]*d.Cols+c[0]]), lineM2)
			if k > 0 {
				length += math.Hypot(float64(c[0]-cells[k-1][0]), float64(c[1]-cells[k-1][1]))
			}
		}
		last := cells[len(cells)-1]
		assert.InDelta(t, length, l.LengthM, 1e-4)
		assert.InDelta(t, upslope[cells[0][1]*d.Cols+cells[0][0]], l.HeadM2, 1e-3)
		assert.GreaterOrEqual(t, l.MouthM2, l.HeadM2)
		if n, met := first[last]; met {
			assert.Equal(t, n, l.Next)
			assert.Greater(t, d.Lines[n].HeadM2, l.MouthM2)
			cells = cells[:len(cells)-1]
		} else {
			assert.Equal(t, -1, l.Next)
			onBorder := last[0] == 0 || last[1] == 0 || last[0] == d.Cols-1 || last[1] == d.Rows-1
			assert.True(t, onBorder, "it ends at %v", last)
		}
		for _, c := range cells {
			own[c]++
		}
	}
	channels := 0
	for i, n := range upslope {
		if n < lineM2 {
			continue
		}
		channels++
		c := [2]int{i % d.Cols, i / d.Cols}
		require.True(t, runs.Has(d.Wet, i))
		require.LessOrEqual(t, own[c], 1, "cell %v is of two lines", c)
	}
	assert.InDelta(t, channels, len(own), 5, "but for channels of one cell")
}

// Marks are joined side by side along every line.
func TestNoStepSlipsThroughALine(t *testing.T) {
	stepped, holed := hills(t, 300, 260, 1), hills(t, 300, 260, 1)
	for i, z := range stepped.Z {
		stepped.Z[i] = float32(math.Round(2*float64(z)) / 2)
		if i%311 == 0 {
			holed.Z[i] = float32(math.NaN())
		}
	}
	for n, g := range []*terrain.Grid{hills(t, 300, 260, 1), stepped, holed} {
		d := must(Drain(context.Background(), g, Options{LineM2: 250}))
		corners := 0
		for _, l := range d.Lines {
			cells := cellsOf(t, d, l)
			for k := 1; k < len(cells); k++ {
				a, b := cells[k-1], cells[k]
				if a[0] == b[0] || a[1] == b[1] {
					continue
				}
				corners++
				beside, across := b[0]+a[1]*d.Cols, a[0]+b[1]*d.Cols
				voids := g.Z[beside] != g.Z[beside] && g.Z[across] != g.Z[across]
				assert.True(t, runs.Has(d.Wet, beside) || runs.Has(d.Wet, across) || voids, "grid %d, %v", n, a)
			}
		}
		assert.Greater(t, corners, 300, "grid %d", n)
	}

	// From the one side of a diagonal valley nothing gets to the other in dry steps
	// to eight neighbours.
	const size = 120
	g := gridOf(t, size, size, 1, 1, func(c, r int) float64 {
		return 100 + 3*math.Abs(float64(c-r)) - 0.5*float64(c+r)
	})
	d := must(Drain(context.Background(), g, Options{LineM2: 250}))
	require.Len(t, d.Lines, 1)
	head := d.Lines[0].Path[0]
	reached := make([]bool, size*size)
	queue := []int{int(head[1])*size + size - 1}
	for ; len(queue) > 0; queue = queue[1:] {
		for k := range ways {
			c, r := queue[0]%size+stepCols[k], queue[0]/size+stepRows[k]
			if i := r*size + c; c >= 0 && c < size && r < size && r >= int(head[1]) && !runs.Has(d.Wet, i) && !reached[i] {
				reached[i] = true
				queue = append(queue, i)
			}
		}
	}
	assert.True(t, reached[100*size+size-1], "down along its own side")
	assert.False(t, reached[size*(size-1)], "across the line")
}

func TestCrossingsOnTheWay(t *testing.T) {
	const cols, rows = 9, 6
	d := &Drainage{Cols: cols, Rows: rows, Wet: runs.Of(cols, rows, func(i int) bool { return i%cols == 3 || i%cols == 6 })}
	at := func(c, r int) int { return r*cols + c }
	for name, c := range map[string]struct {
		way  []int
		want int
	}{
		"nowhere":             {nil, 0},
		"beside":              {[]int{at(0, 0), at(2, 5)}, 0},
		"one straight":        {[]int{at(0, 1), at(5, 1)}, 1},
		"both, and back":      {[]int{at(0, 1), at(8, 3), at(0, 2)}, 4},
		"a knight's move":     {[]int{at(2, 0), at(4, 1)}, 1},
		"a corner":            {[]int{at(2, 2), at(3, 3), at(4, 4)}, 1},
		"along it":            {[]int{at(2, 0), at(3, 0), at(3, 5), at(4, 5)}, 1},
		"from within":         {[]int{at(3, 0), at(4, 0)}, 1},
		"steep, and backward": {[]int{at(4, 5), at(2, 0)}, 1},
	} {
		assert.Equal(t, c.want, must(d.Crossings(c.way)), name)
	}
}

// pond is a valley whose lower part is a flattened pond behind a bank.
func pond(t *testing.T) *terrain.Grid {
	const cols, rows = 101, 200
	g := valley(t, cols, rows, 1, 1)
	rnd := rand.New(rand.NewPCG(1, 2))
	for i := range g.Z {
		g.Z[i] += 0.02 * rnd.Float32() // lidar: or its steps of 10 cm were stairs
		if r := i / cols; r >= 90 && r < 150 && g.Z[i] < 96 {
			g.Z[i] = 96
		}
	}
	return g
}

func TestLinesStopAtTheShore(t *testing.T) {
	g := pond(t)
	water := must(quality.Water(g))
	require.Len(t, water.List, 1)
	mask := water.Mask(true)
	d := must(Drain(context.Background(), g, Options{LineM2: 1500, Water: water}))
	into, from := 0, 0
	for _, l := range d.Lines {
		cells := cellsOf(t, d, l)
		for k, c := range cells {
			if mask[c[1]*d.Cols+c[0]] {
				require.Equal(t, len(cells)-1, k, "a line runs on across water")
				require.Equal(t, -1, l.Next)
				into++
			}
		}
		if c := cells[0]; c[1] >= 130 && l.HeadM2 > 101*130 {
			from++
		}
	}
	assert.Equal(t, 1, into)
	assert.Equal(t, 1, from, "what gathered before the pond goes on behind it")
	crossed := 0
	for _, l := range must(Drain(context.Background(), g, Options{LineM2: 1500})).Lines {
		for _, c := range cellsOf(t, d, l) {
			if mask[c[1]*d.Cols+c[0]] {
				crossed++
			}
		}
	}
	assert.Greater(t, crossed, 20, "not knowing of the water")
}

// A plateau that stands for voids takes no part: no hollow, no line.
func TestAnUndeclaredVoidIsAVoid(t *testing.T) {
	g := hills(t, 200, 200, 2)
	hole := func(c, r int) bool { return c >= 60 && c < 140 && r >= 80 && r < 110 }
	declared := *g
	declared.Z = append([]float32(nil), g.Z...)
	for i := range g.Z {
		if hole(i%200, i/200) {
			g.Z[i], declared.Z[i] = -400, float32(math.NaN())
		}
	}
	water := must(quality.Water(g))
	require.Len(t, water.List, 1)
	require.True(t, water.List[0].Void)
	assert.Equal(t, must(Drain(context.Background(), &declared, Options{})), must(Drain(context.Background(), g, Options{Water: water})))
	assert.Equal(t, float32(-400), g.Z[80*200+60], "the grid is left as it was")
}

func TestDefaults(t *testing.T) {
	g := valley(t, 101, 120, 1, 1)
	d := must(Drain(context.Background(), g, Options{}))
	assert.Equal(t, 43560*0.3048*0.3048, d.LineM2, "an acre")
	assert.Equal(t, 250.0*900, must(Drain(context.Background(), valley(t, 101, 120, 30, 30), Options{})).LineM2, "250 cells")
	require.Len(t, d.Lines, 1)
	assert.Equal(t, 40.5, d.Lines[0].Path[0][1], "41 rows of 101 cells are more than an acre of them, 40 are not")
}

func TestTheSameOnAnyNumberOfProcessors(t *testing.T) {
	g := hills(t, 200, 150, 1)
	want := must(Drain(context.Background(), g, Options{LineM2: 300}))
	require.NotEmpty(t, want.Lines)
	was := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(was)
	for _, n := range []int{1, 2, 7} {
		runtime.GOMAXPROCS(n)
		require.Equal(t, want, must(Drain(context.Background(), g, Options{LineM2: 300})))
	}
}

func BenchmarkDrain(b *testing.B) {
	g := hills(b, 632, 633, 1)
	b.ReportAllocs()
	for b.Loop() {
		Drain(context.Background(), g, Options{})
	}
	b.ReportMetric(float64(len(g.Z))*float64(b.N)/b.Elapsed().Seconds()/1e6, "Mcells/s")
}
