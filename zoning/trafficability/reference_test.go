package trafficability

import (
	"math"

	"gonum.org/v1/gonum/graph/path"
	"gonum.org/v1/gonum/graph/simple"
	"gonum.org/v1/gonum/graph/traverse"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
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

// heads reports whether a machine may head along a move on a cell.
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

// clear reports whether all ground nearer to a cell than a distance is as is says; what
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
	from := path.DijkstraFrom(start, arcs)
	for i := range fits {
		fits[i] = fits[i] && from.WeightTo(int64(i)) <= runM
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
	wet, all := make([]bool, len(f.g.Lots)), make([]bool, len(f.g.Lots))
	for i := range all {
		wet[i], all[i] = runs.Has(f.g.WaterLines, i), true
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
	from := path.DijkstraFrom(simple.Node(f.g.Staging[0][0]), ways)
	out := make([]float64, len(wet))
	for i := range out {
		out[i] = from.WeightTo(int64(i))
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
