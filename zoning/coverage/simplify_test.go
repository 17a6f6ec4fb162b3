package coverage

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// stairs is a lot of 6 × 6 cells of a metre. Ground on and below the diagonal has
// one mask, ground above it another: the line between them goes down and east by
// turns, from (1, 0) to (6, 5).
func stairs(t *testing.T, below, above Mask) (*Window, *Coverage) {
	g, err := terrain.NewGrid(make([]float32, 36), 6, 6, 1, 1)
	require.NoError(t, err)
	cells := &Window{Masks: make([]Mask, 36), Cols: 6, Rows: 6, Frame: g.Frame}
	for i := range cells.Masks {
		if cells.Masks[i] = above; i%6 <= i/6 {
			cells.Masks[i] = below
		}
	}
	return cells, cutLot(t, cells, rectangle(0, 0, 6, 6))
}

func cutLot(t testing.TB, cells *Window, rings ...[][2]float64) *Coverage {
	cov, err := Cut(cells, orb.MultiPolygon{toGround(cells.Frame, 1e9, rings...)})
	require.NoError(t, err)
	return cov
}

// inner lists the vertices of the one line inside a coverage in cell coordinates,
// from west to east.
func inner(t *testing.T, cells *Window, cov *Coverage) (line [][2]int) {
	m := mesh{frame: cells.Frame, unit: cov.unit}
	for _, a := range cov.Arcs {
		if a.Left < 0 || a.Right < 0 {
			continue
		}
		require.Empty(t, line, "one line inside")
		for _, v := range a.Vertices {
			c, r := m.place(v)
			line = append(line, [2]int{int(math.Round(c)), int(math.Round(r))})
		}
	}
	if len(line) > 0 && line[0][0] > line[len(line)-1][0] {
		slices.Reverse(line)
	}
	return line
}

// Worked by hand. The corners between (1, 1) and (5, 5) lie half a diagonal,
// 0.7071 m, from the straight line that leaves them out.
func TestSimplifyStairs(t *testing.T) {
	all := [][2]int{{1, 0}, {1, 1}, {2, 1}, {2, 2}, {3, 2}, {3, 3}, {4, 3}, {4, 4}, {5, 4}, {5, 5}, {6, 5}}
	south := [][2]int{{1, 0}, {1, 1}, {5, 5}, {6, 5}} // into the ground below the stairs
	north := [][2]int{{1, 0}, {6, 5}}                 // into the ground above them
	for name, c := range map[string]struct {
		below, above Mask
		tolerance    float64
		line         [][2]int
		moved        float64 // cells that the ground above gains
	}{
		"the second machine may work all":           {0b11, 0b10, 0.71, south, 2},
		"a tolerance that is just too small":        {0b11, 0b10, 0.70, all, 0},
		"the second machine may work none of it":    {0b01, 0b10, 9, all, 0},
		"the other way round":                       {0b10, 0b11, 0.71, north, -2.5},
		"a machine gives ground to hand work":       {0b01, 0, 0.71, south, 2},
		"no ground without a machine gets one":      {0, 0b01, 0.71, north, -2.5},
		"unknown ground stays, beside a machine":    {0b11, Unknown, 9, all, 0},
		"unknown ground stays, beside hand work":    {0, Unknown, 9, all, 0},
		"no-go ground stays, beside a machine":      {0b11, NoGo, 9, all, 0},
		"no-go ground stays, beside unknown ground": {Unknown, NoGo, 9, all, 0},
	} {
		cells, cov := stairs(t, c.below, c.above)
		s := cov.Simplify(cells, 2, c.tolerance)
		assert.Equal(t, c.line, inner(t, cells, s), name)
		var gained float64
		for i, f := range s.Faces {
			if f.Mask == c.above {
				gained += f.M2 - cov.Faces[i].M2
			}
		}
		assert.InDelta(t, c.moved, gained, 1e-3, name)
	}
}

// A cell of the stairs that the receiver may not work keeps its corner.
func TestSimplifyGivesNoPartOfACellThatIsNotAllowed(t *testing.T) {
	cells, _ := stairs(t, 0b11, 0b10)
	cells.Masks[2*6+2] = 0b01
	cov := cutLot(t, cells, rectangle(0, 0, 6, 6))
	s := cov.Simplify(cells, 2, 0.71)
	assert.Equal(t, [][2]int{{1, 0}, {1, 1}, {2, 2}, {3, 2}, {3, 3}, {5, 5}, {6, 5}}, inner(t, cells, s))
	s.EachMoved(func(col, row int, share float64, from, to Mask) {
		assert.Equal(t, col, row, "cells on the diagonal")
		assert.NotEqual(t, 2, col)
		assert.InDelta(t, 0.5, share, 1e-3)
		assert.Equal(t, []Mask{0b01, 0b10}, []Mask{from, to}, "the machines that may work all of each side")
	})
	assert.Len(t, s.moved, 3)
}

// A face's mask holds only the machines that may work what it got, too.
func TestSimplifyNarrowsMasks(t *testing.T) {
	cells, cov := stairs(t, 0b011, 0b110)
	s := cov.Simplify(cells, 3, 0.71)
	assert.ElementsMatch(t, []Mask{0b011, 0b010}, []Mask{s.Faces[0].Mask, s.Faces[1].Mask})
}

func TestSimplifyByNothingIsTheSame(t *testing.T) {
	cells, cov := stairs(t, 0b11, 0b10)
	for _, tolerance := range []float64{0, -1, math.NaN()} {
		assert.Same(t, cov, cov.Simplify(cells, 2, tolerance))
	}
}

func TestSimplifyKeepsTheCoverageItIsMadeFrom(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 32))
	cells, cov := blotched(t, rng, 3)
	before := make([]Arc, len(cov.Arcs))
	for i, a := range cov.Arcs {
		before[i] = a
		before[i].Vertices = slices.Clone(a.Vertices)
	}
	faces := slices.Clone(cov.Faces)
	one := cov.Simplify(cells, 3, 3)
	assert.NotEmpty(t, one.moved)
	assert.Equal(t, before, cov.Arcs)
	assert.Equal(t, faces, cov.Faces)
	assert.Equal(t, one, cov.Simplify(cells, 3, 3), "twice the same")
}

// A single cell has no fewer corners to spare than one, however large the
// tolerance, and a hole no more.
func TestSimplifyKeepsIslands(t *testing.T) {
	for _, masks := range [][2]Mask{{0b11, 0b10}, {0b10, 0b11}, {0b01, 0}, {0, 0b01}} {
		g, err := terrain.NewGrid(make([]float32, 49), 7, 7, 1, 1)
		require.NoError(t, err)
		cells := &Window{Masks: slices.Repeat([]Mask{masks[0]}, 49), Cols: 7, Rows: 7, Frame: g.Frame}
		cells.Masks[3*7+3] = masks[1]
		s := cutLot(t, cells, rectangle(0, 0, 7, 7)).Simplify(cells, 2, 1000)
		require.Len(t, s.Faces, 2)
		island := s.Faces[1]
		assert.Equal(t, masks[1], island.Mask)
		want := 1.0 // it may only grow, and its corners are the outermost
		if masks[1].Class(2) < masks[0].Class(2) {
			want = 0.5
		}
		assert.InDelta(t, want, island.M2, 1e-3, "%b", masks)
	}
}

// What lies on both sides of the antimeridian is simplified as it is elsewhere in
// two lots.
func TestSimplifyAcrossTheAntimeridian(t *testing.T) {
	count := func(lon float64, ground ...orb.Polygon) (edges int, moved float64) {
		f := tilted(t, lon-20*testCell, 50, testCell, 0)
		cells := &Window{Masks: make([]Mask, 1600), Cols: 40, Rows: 40, Frame: f}
		for i := range cells.Masks {
			if cells.Masks[i] = 0b11; float64(i%40) > 20+14*math.Sin(float64(i/40)/3) {
				cells.Masks[i] = 0b10
			}
		}
		cov, err := Cut(cells, ground)
		require.NoError(t, err)
		s := cov.Simplify(cells, 2, 2)
		for _, a := range s.Arcs {
			if a.Left >= 0 && a.Right >= 0 {
				edges += len(a.Vertices) - 1
			}
		}
		s.EachMoved(func(_, _ int, share float64, _, _ Mask) { moved += share })
		return edges, moved
	}
	box := func(w, e float64) orb.Polygon {
		s, n := 50-38*testCell, 50-2*testCell
		return orb.Polygon{{{w, s}, {e, s}, {e, n}, {w, n}, {w, s}}}
	}
	const half = 18 * testCell
	edges, moved := count(180, box(180-half, 180), box(-180, -180+half))
	westEdges, westMoved := count(100, box(100-half, 100))
	eastEdges, eastMoved := count(100, box(100, 100+half))
	assert.Equal(t, westEdges+eastEdges, edges)
	assert.InDelta(t, westMoved+eastMoved, moved, 1e-3)
	assert.Positive(t, moved)
}

// blotched is a lot of large and small patches: each machine of a fleet may work
// where a field of waves of its own is high, and some ground is unknown or no-go.
func blotched(t testing.TB, rng *rand.Rand, fleet int) (*Window, *Coverage) {
	const n = 40
	cells := &Window{Masks: make([]Mask, n*n), Cols: n, Rows: n, Frame: bent(t, rng)}
	for bit := range fleet + 2 {
		wave := waves(rng)
		for i := range cells.Masks {
			h := wave(float64(i%n), float64(i/n))
			switch {
			case bit < fleet && h > -0.3:
				cells.Masks[i] |= 1 << bit
			case bit == fleet && h > 1.4:
				cells.Masks[i] = Unknown
			case bit > fleet && h > 1.4:
				cells.Masks[i] = NoGo
			}
		}
	}
	ring := star(rng, n/2, n/2, 14, 24, 3+rng.IntN(20))
	return cells, cutLot(t, cells, ring)
}

// bent is a frame turned any way; its rows and columns are straight or, one time
// in two, bend by a third of a cell over 40.
func bent(t testing.TB, rng *rand.Rand) *terrain.Frame {
	if rng.IntN(2) == 0 {
		return tilted(t, -120, 45, testCell, rng.Float64()*360)
	}
	sin, cos := math.Sincos(2 * math.Pi * rng.Float64())
	f, err := terrain.NewFrame(4, -16, -16, 64, 64, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, p := range cells {
			x, y := p[0]+8e-4*p[1]*p[1], -p[1]+8e-4*p[0]*p[0]
			out[i] = [2]float64{-120 + testCell*(cos*x-sin*y), 45 + testCell*(sin*x+cos*y)}
		}
		return out, nil
	})
	require.NoError(t, err)
	return f
}

// waves is a sum of waves of all lengths and ways, from about -2 to 2.
func waves(rng *rand.Rand) func(x, y float64) float64 {
	var k [6][3]float64
	for i := range k {
		length := 3 + 30*rng.Float64()
		s, c := math.Sincos(2 * math.Pi * rng.Float64())
		k[i] = [3]float64{2 * math.Pi * c / length, 2 * math.Pi * s / length, 2 * math.Pi * rng.Float64()}
	}
	return func(x, y float64) (h float64) {
		for _, w := range k {
			h += 0.5 * math.Sin(w[0]*x+w[1]*y+w[2])
		}
		return h
	}
}

// checkSimplified asserts what holds however a coverage is simplified, but for
// what GEOS has to tell.
func checkSimplified(t *testing.T, cells *Window, cov, s *Coverage, fleet int, toleranceM float64) {
	t.Helper()
	band := func(m Mask) int { return m.Class(fleet) }
	whole := cov.M2()
	require.InEpsilon(t, whole, s.M2(), 1e-9, "acres sum to the parcel's")
	require.InEpsilon(t, AreaM2(cov.Outline()), AreaM2(s.Outline()), 1e-9, "the boundary stays")

	old := cov.joined(band)
	require.Len(t, s.Arcs, len(old.Arcs))
	for i, a := range s.Arcs {
		checkLine(t, old.Arcs[i].Vertices, a.Vertices, toleranceM)
		if _, _, ok := old.parties(int32(i), fleet); !ok {
			require.Equal(t, old.Arcs[i].Vertices, a.Vertices, "a line that has to stay")
		}
	}

	gained := make([]float64, fleet+5)
	for i, f := range s.Faces {
		require.Positive(t, f.M2)
		require.Equal(t, band(old.Faces[i].Mask), band(f.Mask))
		require.Equal(t, f.Mask, f.Mask&old.Faces[i].Mask)
		gained[band(f.Mask)] += f.M2 - old.Faces[i].M2
	}
	require.Zero(t, gained[fleet+3], "unknown ground stays")
	require.Zero(t, gained[fleet+4], "no-go ground stays")
	areaM2 := func(col, row int) float64 {
		return cells.Frame.MetricAt(float64(cells.Col0+col)+0.5, float64(cells.Row0+row)+0.5).CellAreaM2()
	}
	s.EachMoved(func(col, row int, share float64, from, to Mask) {
		cellM2 := areaM2(col, row)
		gained[band(from)] += share * cellM2
		gained[band(to)] -= share * cellM2
		require.Less(t, band(from), band(to))
		require.Equal(t, band(from), band(cells.Masks[row*cells.Cols+col]), "a cell that its giver never had")
		if to.First() >= 0 {
			require.Equal(t, to, to&cells.Masks[row*cells.Cols+col], "ground for a machine that may not work it")
		}
	})
	for b, m2 := range gained { // to 0.1 mm along some hundred metres of line
		require.InDelta(t, 0, m2, 1e-6*whole+0.02*areaM2(0, 0), "band %d gained what moved", b)
	}
}

// checkLine asserts that two lines are nowhere farther apart than the tolerance:
// vertices of the old from the new, and spots along the new from the old.
func checkLine(t *testing.T, old, line []Vertex, toleranceM float64) {
	t.Helper()
	require.True(t, old[0] == line[0] && old[len(old)-1] == line[len(line)-1] || old[0] == old[len(old)-1], "ends stay")
	if slices.Equal(old, line) {
		return
	}
	// Metres per degree of latitude and longitude, from memory: the usual series.
	lat := float64(old[0].Y) / 1e9 * math.Pi / 180
	north := 111132.92 - 559.82*math.Cos(2*lat) + 1.175*math.Cos(4*lat)
	east := 111412.84*math.Cos(lat) - 93.5*math.Cos(3*lat) + 0.118*math.Cos(5*lat)
	metres := func(vs []Vertex) (out [][2]float64) {
		for _, v := range vs {
			out = append(out, [2]float64{float64(v.X-old[0].X) / 1e9 * east, float64(v.Y-old[0].Y) / 1e9 * north})
		}
		return out
	}
	was, is := metres(old), metres(line)
	for _, p := range was {
		require.LessOrEqual(t, apart(p, is), toleranceM*(1+2e-5))
	}
	for i := 1; i < len(is); i++ {
		for k := range 16 {
			f := float64(k) / 16
			p := [2]float64{is[i-1][0] + f*(is[i][0]-is[i-1][0]), is[i-1][1] + f*(is[i][1]-is[i-1][1])}
			require.LessOrEqual(t, apart(p, was), toleranceM*(1+2e-5))
		}
	}
}

// apart is how far a spot lies from a line.
func apart(p [2]float64, line [][2]float64) float64 {
	least := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		dx, dy := b[0]-a[0], b[1]-a[1]
		f := max(0, min(1, ((p[0]-a[0])*dx+(p[1]-a[1])*dy)/(dx*dx+dy*dy)))
		least = min(least, math.Hypot(p[0]-a[0]-f*dx, p[1]-a[1]-f*dy))
	}
	return least
}

func TestSimplifyBlotches(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 150 {
		cells, cov := blotched(t, rng, 3)
		for _, toleranceM := range []float64{0.3, 1, 4, 50} {
			checkSimplified(t, cells, cov, cov.Simplify(cells, 3, toleranceM), 3, toleranceM)
		}
	}
}

// Joining makes one face of each piece of a band, and moves nothing.
func TestJoined(t *testing.T) {
	rng := rand.New(rand.NewPCG(23, 24))
	for range 50 {
		_, cov := blotched(t, rng, 3)
		band := func(m Mask) int { return m.Class(3) }
		j := cov.joined(band)
		was, is := cov.Polygons(8, band), j.Polygons(8, band)
		corners := func(mp orb.MultiPolygon) (all []orb.Point) {
			for _, poly := range mp {
				for _, ring := range poly {
					all = append(all, ring[1:]...)
				}
			}
			return all
		}
		pieces := 0
		for b := range was {
			require.Len(t, is[b], len(was[b]))
			pieces += len(is[b])
			require.ElementsMatch(t, corners(was[b]), corners(is[b]))
			require.InDelta(t, AreaM2(was[b]), AreaM2(is[b]), 1e-6)
		}
		require.Len(t, j.Faces, pieces)
		for _, a := range j.Arcs {
			require.True(t, a.Left < 0 || a.Right < 0 || band(j.Faces[a.Left].Mask) != band(j.Faces[a.Right].Mask))
		}
	}
}
