package work

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/topo"
	"gonum.org/v1/gonum/graph/traverse"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// reference finds by gonum's shortest paths, on a graph of its own, where the middle
// of a machine may be: cells on which it fits are nodes, the sixteen moves arcs.
type reference struct {
	g *Ground
	m zoning.Machine
	// rounded takes the program's own rounding of headings and of runs, to be equal to it
	// and not only never less.
	rounded bool

	lie    *lie // for its table
	metric terrain.Metric
	shortM float64
	cols   int
}

func newReference(g *Ground, m zoning.Machine, rounded bool) *reference {
	f := &reference{g: g, m: m, rounded: rounded, lie: lieOf(g.Grid), cols: g.Grid.Cols}
	f.metric = g.Grid.Frame.MetricAt(float64(g.Grid.Col0)+float64(g.Grid.Cols)/2, float64(g.Grid.Row0)+float64(g.Grid.Rows)/2)
	f.shortM = min(f.lengthM(1, 0), f.lengthM(0, 1))
	return f
}

func (f *reference) lengthM(dc, dr int) float64 {
	m, u, v := f.metric, float64(dc), float64(dr)
	return math.Sqrt((m.C*u*u - 2*m.B*u*v + m.A*v*v) / (m.A*m.C - m.B*m.B))
}

// crossSquared is the square of the slope across a machine that heads along a move: what
// is left of the slope's square without that along it (Horn 1981, in float64).
func (f *reference) crossSquared(i, dc, dr int) float64 {
	c, r := i%f.cols, i/f.cols
	z := func(u, v int) float64 { return f.g.Grid.At(c+u, r+v) }
	p := ((z(1, -1) + 2*z(1, 0) + z(1, 1)) - (z(-1, -1) + 2*z(-1, 0) + z(-1, 1))) / 8
	q := ((z(-1, 1) + 2*z(0, 1) + z(1, 1)) - (z(-1, -1) + 2*z(0, -1) + z(1, -1))) / 8
	m := f.metric
	along := (p*float64(dc) + q*float64(dr)) / f.lengthM(dc, dr)
	return m.A*p*p + 2*m.B*p*q + m.C*q*q - along*along
}

// heads tells whether a machine may head along a move on a cell.
func (f *reference) heads(i, dc, dr int) bool {
	limit := f.m.CrossPct/100 - zoning.TieRise
	if f.m.CrossPct == 0 || f.gentle(i) {
		return true
	}
	if f.rounded {
		for _, w := range ways {
			if w.dc == dc && w.dr == dr {
				return f.lie.headings(f.g.Field.Squared[i], f.g.Field.Aspect[i], riseSquared(f.m.CrossPct))>>w.heading&1 == 1
			}
		}
	}
	return f.crossSquared(i, dc, dr) < limit*limit
}

func (f *reference) gentle(i int) bool {
	return f.m.CrossPct == 0 || math.Sqrt(float64(f.g.Field.Squared[i])) < f.m.CrossPct/100-zoning.TieRise
}

// clear tells whether all ground nearer to a cell than a distance is as is says; what
// lies beyond the window is not.
func (f *reference) clear(i int, metres float64, is func(j int) bool) bool {
	reach := int(metres/f.shortM) + 1
	for v := -reach; v <= reach; v++ {
		for u := -reach; u <= reach; u++ {
			if f.lengthM(u, v) >= metres*(1-1e-9) && !(u == 0 && v == 0) {
				continue
			}
			c, r := i%f.cols+u, i/f.cols+v
			if c < 0 || r < 0 || c >= f.cols || r >= f.g.Grid.Rows || !is(r*f.cols+c) {
				return false
			}
		}
	}
	return true
}

// passes lists the cells that a straight line between the middles of two touches, ends
// left out: found by walking along it. Through a corner it touches both beside.
func passes(dc, dr int) (cells [][2]int) {
	seen := map[[2]int]bool{{0, 0}: true, {dc, dr}: true}
	const steps = 1200
	for s := range steps + 1 {
		x, y := 0.5+float64(dc*s)/steps, 0.5+float64(dr*s)/steps
		for _, off := range [4][2]float64{{1e-9, 1e-9}, {-1e-9, 1e-9}, {1e-9, -1e-9}, {-1e-9, -1e-9}} {
			at := [2]int{int(math.Floor(x + off[0])), int(math.Floor(y + off[1]))}
			if !seen[at] {
				seen[at] = true
				cells = append(cells, at)
			}
		}
	}
	return cells
}

// stands marks where the middle of the machine may be and gets to.
func (f *reference) stands() []bool {
	n := len(f.g.Lots)
	drivable := func(i int) bool {
		return f.g.Drive[i] && !(f.g.Closed != nil && f.g.Closed[i]) &&
			math.Sqrt(float64(f.g.Field.Squared[i])) < f.m.LimitPct/100-zoning.TieRise
	}
	open := make([]bool, n)
	for i := range open {
		for _, w := range ways {
			open[i] = open[i] || drivable(i) && f.heads(i, w.dc, w.dr)
		}
	}
	wayM, turnM := 0.0, 0.0
	if f.m.WidthM > 0 {
		wayM = f.m.WidthM/2 + 1*foot + f.shortM/2
		turnM = math.Hypot(f.m.WidthM, f.m.FootprintM)/2 + f.shortM/2
	}
	fits := make([]bool, n)
	for i := range fits {
		fits[i] = f.clear(i, wayM, func(j int) bool { return open[j] })
	}
	// Runs begin where it can turn.
	arcs := f.arcs(fits)
	start := simple.Node(n)
	for i := range fits {
		if fits[i] && f.clear(i, turnM, func(j int) bool { return open[j] && f.gentle(j) }) {
			arcs.SetWeightedEdge(arcs.NewWeightedEdge(start, simple.Node(i), 0))
		}
	}
	runM := f.m.RunM
	if runM == 0 {
		runM = 200 * foot
	}
	runs := path.DijkstraFrom(start, arcs)
	for i := range fits {
		fits[i] = fits[i] && runs.WeightTo(int64(i)) <= runM
	}
	arcs = f.arcs(fits)
	out := make([]bool, n)
	var ways traverse.BreadthFirst
	for _, place := range f.g.Staging {
		for _, i := range place {
			if fits[i] {
				ways.Walk(arcs, simple.Node(i), nil)
			}
		}
	}
	for i := range out {
		out[i] = fits[i] && ways.Visited(simple.Node(i))
	}
	return out
}

// arcs are the moves between cells that are in.
func (f *reference) arcs(in []bool) *simple.WeightedDirectedGraph {
	arcs := simple.NewWeightedDirectedGraph(0, math.Inf(1))
	for i, is := range in {
		if is {
			arcs.AddNode(simple.Node(i))
		}
	}
	for dc := -2; dc <= 2; dc++ {
		for dr := -2; dr <= 2; dr++ {
			if a, b := max(dc, -dc), max(dr, -dr); a+b == 1 || a*b == 1 || a*b == 2 {
				f.addArcs(arcs, in, dc, dr)
			}
		}
	}
	return arcs
}

// crossings are the fewest water lines that are entered on the way to each cell.
func (f *reference) crossings() []float64 {
	wet := f.g.WaterLines
	all := make([]bool, len(wet))
	for i := range all {
		all[i] = true
	}
	ways := f.arcs(all)
	over := map[[2]int][][2]int{}
	arcs := ways.WeightedEdges()
	for arcs.Next() {
		e := arcs.WeightedEdge()
		i, j := int(e.From().ID()), int(e.To().ID())
		dc, dr := j%f.cols-i%f.cols, j/f.cols-i/f.cols
		enters := wet[j]
		if _, known := over[[2]int{dc, dr}]; !known {
			over[[2]int{dc, dr}] = passes(dc, dr)
		}
		for _, o := range over[[2]int{dc, dr}] {
			enters = enters || wet[i+o[1]*f.cols+o[0]]
		}
		cost := 0.0
		if enters && !wet[i] {
			cost = 1
		}
		ways.SetWeightedEdge(ways.NewWeightedEdge(e.From(), e.To(), cost))
	}
	runs := path.DijkstraFrom(simple.Node(f.g.Staging[0][0]), ways)
	out := make([]float64, len(wet))
	for i := range out {
		out[i] = runs.WeightTo(int64(i))
	}
	return out
}

func (f *reference) addArcs(arcs *simple.WeightedDirectedGraph, fits []bool, dc, dr int) {
	run := f.lengthM(dc, dr)
	if f.rounded { // to an eighth of the shorter side, upwards
		run = math.Ceil(run/f.shortM*8-1e-9) * f.shortM / 8
	}
	on := func(c, r int) bool {
		if c < 0 || r < 0 || c >= f.cols || r >= f.g.Grid.Rows {
			return false
		}
		i := r*f.cols + c
		return fits[i] && f.heads(i, dc, dr)
	}
	over := passes(dc, dr)
	for i := range fits {
		c, r := i%f.cols, i/f.cols
		j, weight := (r+dr)*f.cols+c+dc, 0.0
		ok := on(c, r) && on(c+dc, r+dr)
		for _, o := range over {
			ok = ok && on(c+o[0], r+o[1])
		}
		if !ok {
			continue
		}
		// A run counts on steep ground.
		for _, o := range append(over, [2]int{}, [2]int{dc, dr}) {
			if !f.gentle((r+o[1])*f.cols + c + o[0]) {
				weight = run
			}
		}
		arcs.SetWeightedEdge(arcs.NewWeightedEdge(simple.Node(i), simple.Node(j), weight))
	}
}

// inner leaves the outermost cells out of the ground to be driven on: slope there hangs
// on fewer cells.
func (g *Ground) inner() *Ground {
	g.Drive = make([]bool, len(g.Lots))
	for i := range g.Drive {
		c, r := i%g.Grid.Cols, i/g.Grid.Cols
		g.Drive[i] = c > 0 && r > 0 && c < g.Grid.Cols-1 && r < g.Grid.Rows-1
	}
	return g
}

// jacksboro is a part of the real ground in testdata: see its SOURCES.md. Its cells
// measure some 75 by 93 m.
func jacksboro(t *testing.T, col0, row0, cols, rows int) *Ground {
	t.Helper()
	file, err := os.ReadFile("../../testdata/jacksboro_dem.tif")
	require.NoError(t, err)
	// The decoder knows no signed numbers. None of the heights is below 0: the tag that
	// says so (SampleFormat, 339) may as well say unsigned.
	tag := binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(nil, 339), 3), 1)
	at := bytes.Index(file, tag)
	require.Positive(t, at)
	require.EqualValues(t, 2, file[at+len(tag)])
	file[at+len(tag)] = 1
	picture, err := tiff.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	heights := picture.(*image.Gray16)
	const cell, west, north = 1.0 / 1200, -84.41375, 36.44625
	frame, err := terrain.NewFrame(32, 0, 0, 403, 344, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{west + c[0]*cell, north - c[1]*cell}
		}
		return out, nil
	})
	require.NoError(t, err)
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(heights.Gray16At(col0+i%cols, row0+i/cols).Y)
	}
	return on(&terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: col0, Row0: row0, Frame: frame})
}

// The ground that a machine gets to is never more than gonum finds with true headings
// and lengths, and is that which it finds with the program's rounding of them.
func TestAccessAgainstShortestPaths(t *testing.T) {
	wide := loader
	wide.RunM = 12
	narrow := zoning.Machine{Key: "b", LimitPct: 45, CrossPct: 12, RunM: 6}
	straight := zoning.Machine{Key: "c", LimitPct: 35, WidthM: 3, FootprintM: 3}
	far := zoning.Machine{Key: "d", LimitPct: 40, CrossPct: 15, RunM: 700}
	farWide := zoning.Machine{Key: "e", LimitPct: 40, CrossPct: 15, RunM: 500, WidthM: 40, FootprintM: 90}
	for name, c := range map[string]struct {
		g *Ground
		m []zoning.Machine
	}{
		"hills":        {made(t, 60, 50, 1, 1, hills(1, 50, 3)), []zoning.Machine{wide, narrow, straight}},
		"oblong cells": {made(t, 60, 50, 1.3, 0.8, hills(2, 50, 3)), []zoning.Machine{wide, narrow, straight}},
		"skewed":       {skewed(t, 60, 50, [2]float64{0.9, 0.3}, [2]float64{0.4, -1}, hills(3, 50, 2.3)), []zoning.Machine{wide, narrow, straight}},
		"Jacksboro":    {jacksboro(t, 150, 120, 60, 60), []zoning.Machine{far, farWide}},
	} {
		g := c.g.inner()
		rnd := rand.New(rand.NewPCG(4, 4))
		g.Staging = [][]int{{}}
		for range 12 {
			g.Staging[0] = append(g.Staging[0], rnd.IntN(len(g.Lots)))
		}
		for _, m := range c.m {
			w := find(g, m)
			require.Empty(t, g.Edges, "%s: another rule", name)
			got := w.Stands[0]
			most, same := newReference(g, m, false).stands(), newReference(g, m, true).stands()
			require.Greater(t, count(got), len(got)/50, "%s, %s", name, m.Key)
			assert.Zero(t, strays(got, most), "%s, %s: ground that no path leads to, of %d and %d", name, m.Key, count(got), count(most))
			if name != "skewed" { // where keeping from things errs on the safe side
				assert.True(t, slices.Equal(same, got), "%s, %s: %d and %d", name, m.Key, count(same), count(got))
			}
		}
	}
}

// Ground that lies in one piece is one pocket: gonum's connected components.
func TestPocketsAgainstConnectedComponents(t *testing.T) {
	g := made(t, 80, 70, 1, 1, hills(5, 40, 2.5)).inner()
	m := zoning.Machine{Key: "a", LimitPct: 20}
	fits := make([]bool, len(g.Lots))
	for i := range fits {
		fits[i] = g.Drive[i] && math.Sqrt(float64(g.Field.Squared[i])) < 0.20-zoning.TieRise
	}
	var want []float64
	for _, piece := range topo.TarjanSCC(newReference(g, m, false).arcs(fits)) {
		if acres := float64(len(piece)) / zoning.SquareMetresPerAcre; acres >= leastPocketAcres {
			want = append(want, acres)
		}
	}
	slices.SortFunc(want, func(a, b float64) int { return cmp.Compare(b, a) })
	require.Greater(t, len(want), 2)
	pockets := find(g, m).Pockets[0]
	require.Len(t, pockets, len(want))
	for i, p := range pockets {
		assert.InDelta(t, want[i], p.Acres, 1e-9, "the largest first")
	}
}
