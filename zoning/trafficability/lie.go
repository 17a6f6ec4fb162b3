package trafficability

import (
	"math"
	"slices"
	"sync/atomic"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// lie is how the cells of a window lie on the ground. One metric serves a window,
// that of its middle: across a job it changes by less than a thousandth.
type lie struct {
	cols, rows int
	e, f, g    float64 // first fundamental form: meters² along a row, across, down a column
	shortM     float64 // the shorter side of a cell
	areaM2     float64
	lengthM    [len(ways)]float64
	*fallLines
}

// fallLines tell how headings lie to the fall line of a cell, by its aspect.
type fallLines struct {
	metric terrain.Metric
	// crossSquared is, for an aspect and a heading, the largest sin² of the angle
	// between them that the width of a step of aspect admits.
	crossSquared [slope.AspectTurn][headings]float32
	// straight are, for an aspect, the headings that lie along the fall line, see straightDeg.
	straight [slope.AspectTurn]uint8
	// downhill is, for an aspect, the way straight down in cells, shortM long.
	downhill [slope.AspectTurn][2]float64
}

// headings is how many lines a machine may keep to, each driven either way.
const headings = 8

// straightDeg is how far off the fall line a heading may be that lies along it: two of the
// eight are always as near, so that neighbours of nearly the same fall have one in common.
const straightDeg = 2*13.3 + 0.8

// way is a straight move from the middle of a cell to that of another, along a heading,
// over the cells between: those that its line touches, be it at a corner.
type way struct {
	dc, dr  int
	heading uint8
	over    [2][2]int // none for a move along a row or a column
}

// ways are sixteen moves. A machine that keeps to them is off the fall line by at
// most 13.3° where cells are square, and each move is judged by its true heading, so
// that what they miss is ground that is refused, never ground that is given.
var ways = [16]way{
	{1, 0, 0, [2][2]int{}}, {-1, 0, 0, [2][2]int{}},
	{2, 1, 1, [2][2]int{{1, 0}, {1, 1}}}, {-2, -1, 1, [2][2]int{{-1, 0}, {-1, -1}}},
	{1, 1, 2, [2][2]int{{1, 0}, {0, 1}}}, {-1, -1, 2, [2][2]int{{-1, 0}, {0, -1}}},
	{1, 2, 3, [2][2]int{{0, 1}, {1, 1}}}, {-1, -2, 3, [2][2]int{{0, -1}, {-1, -1}}},
	{0, 1, 4, [2][2]int{}}, {0, -1, 4, [2][2]int{}},
	{-1, 2, 5, [2][2]int{{0, 1}, {-1, 1}}}, {1, -2, 5, [2][2]int{{0, -1}, {1, -1}}},
	{-1, 1, 6, [2][2]int{{-1, 0}, {0, 1}}}, {1, -1, 6, [2][2]int{{1, 0}, {0, -1}}},
	{-2, 1, 7, [2][2]int{{-1, 0}, {-1, 1}}}, {2, -1, 7, [2][2]int{{1, 0}, {1, -1}}},
}

// metricOf is that of the middle of a window.
func metricOf(g *terrain.Grid) terrain.Metric {
	return g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2)
}

// shortM is the shorter side of a window's cells.
func shortM(g *terrain.Grid) float64 { return shortOf(metricOf(g)) }

func shortOf(m terrain.Metric) float64 {
	e, _, h := m.Inverse()
	return math.Sqrt(min(e, h))
}

func lieOf(g *terrain.Grid) *lie {
	m := metricOf(g)
	l := &lie{cols: g.Cols, rows: g.Rows, areaM2: m.CellAreaM2(), shortM: shortOf(m)}
	l.e, l.f, l.g = m.Inverse()
	for i, w := range ways {
		l.lengthM[i] = l.distM(w.dc, w.dr)
	}
	l.fallLines = fallLinesOf(m)
	return l
}

// lastFallLines are those that were asked for last: a map asks for those of its grid half a dozen
// times, and on a lot of an acre that takes longer than its slopes.
var lastFallLines atomic.Pointer[fallLines]

func fallLinesOf(m terrain.Metric) *fallLines {
	if last := lastFallLines.Load(); last != nil && last.metric == m {
		return last
	}
	l := newFallLines(m)
	lastFallLines.Store(l)
	return l
}

func newFallLines(m terrain.Metric) *fallLines {
	l, short := &fallLines{metric: m}, shortOf(m)
	e, f, h := m.Plane()
	for k := range headings {
		// The heading in ground axes: along the row, and at right angles to it.
		w := ways[2*k]
		x, y := e*float64(w.dc)+f*float64(w.dr), h*float64(w.dr)
		heading := math.Atan2(y, x)
		for a := range slope.AspectTurn {
			const half = math.Pi / slope.AspectTurn
			off := math.Abs(math.Remainder(2*half*float64(a)-heading, math.Pi))
			sin := math.Sin(min(off+half, math.Pi/2))
			l.crossSquared[a][k] = float32(sin * sin)
		}
	}
	sin := math.Sin(straightDeg * math.Pi / 180)
	for a, sins := range l.crossSquared {
		for k, s := range sins {
			if float64(s) <= sin*sin {
				l.straight[a] |= 1 << k
			}
		}
	}
	for a := range l.downhill {
		sin, cos := math.Sincos(2 * math.Pi * float64(a) / slope.AspectTurn)
		dr := sin * short / h
		l.downhill[a] = [2]float64{(cos*short - f*dr) / e, dr}
	}
	// Ground above the limit never admits the heading that is most across, so that all
	// eight mean ground below it.
	for a := range l.crossSquared {
		sins := l.crossSquared[a][:]
		sins[slices.Index(sins, slices.Max(sins))] = float32(math.Inf(1))
	}
	return l
}

// distM is how far apart two cells are.
func (l *lie) distM(dc, dr int) float64 {
	x, y := float64(dc), float64(dr)
	return math.Sqrt(l.e*x*x + 2*l.f*x*y + l.g*y*y)
}

// skew bounds how far the axes' not being square moves a squared distance.
func (l *lie) skew() float64 { return math.Abs(l.f) / math.Sqrt(l.e*l.g) }
