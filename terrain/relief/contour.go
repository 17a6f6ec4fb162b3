package relief

import (
	"fmt"
	"math"
	"sort"

	"github.com/acreband/acreband/terrain"
)

// Contour is a line along which the ground has one height.
type Contour struct {
	// Level is the place of that height among those asked for.
	Level int

	// Line runs in cell coordinates of the raster, as [Frame.LonLat] takes
	// them, with the higher ground on the right of its way as seen from above.
	// A closed one repeats its first point at its end; any other ends at a void
	// or at the rim of the grid.
	Line [][2]float64
}

// Closed reports whether a contour comes back to its start.
func (c Contour) Closed() bool { return len(c.Line) > 1 && c.Line[0] == c.Line[len(c.Line)-1] }

// Contours draws the lines at which the ground has the given heights, in metres
// and rising, by marching squares: heights are those of the middles of cells,
// and a line crosses the way between two neighbours where a straight slope has
// its height. A height equal to a level lies above it, so a flat of that height
// has its line around it. Where a square's opposite corners are high and the
// others low, the high ones are joined if the saddle of the bilinear surface
// through the four (Nielson and Hamann 1991, The asymptotic decider, Proc. IEEE
// Visualization) reaches the level; so lines of two levels never cross.
//
// A square with a void has no line. Lines come level by level, those with ends
// before closed ones, in the order in which they are met row by row from the
// north-west: the same grid gives the same lines. A grid that cannot be used, and heights
// that do not rise, are errors.
func Contours(g *terrain.Grid, heightsM []float64) ([]Contour, error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	levels := make([]float64, len(heightsM))
	for i, h := range heightsM {
		if math.IsInf(h, 0) || !(i == 0 || h > heightsM[i-1]) || h != h {
			return nil, fmt.Errorf("contours at %v: height %d is %g m; heights must rise from one to the next", heightsM, i+1, h)
		}
		levels[i] = h - float64(g.Z0)
	}
	steps := make([][]isoStep, len(levels))
	upper, lower := make([]int, g.Cols), make([]int, g.Cols)
	for row := range g.Rows {
		upper, lower = lower, upper
		rank(g.Z[row*g.Stride:][:g.Cols], levels, lower)
		if row > 0 {
			march(g, row-1, levels, upper, lower, steps)
		}
	}
	var out []Contour
	for i, level := range levels {
		out = isoLines{g, level, i}.join(steps[i], out)
	}
	return out, nil
}

// isoStep is the way of a line through one square, from one side to another. A
// side is known by the cell at its west or north end: twice its place in the
// grid, and one more where the side runs down.
type isoStep struct{ from, to int }

// rankVoid is the rank of a void.
const rankVoid = -1

// rank counts for each height the levels that it reaches.
func rank(heights []float32, levels []float64, out []int) {
	for i, z := range heights {
		out[i] = rankVoid
		if h := float64(z); h == h {
			out[i] = sort.Search(len(levels), func(k int) bool { return levels[k] > h })
		}
	}
}

// march adds the steps through the squares between two rows of cells.
func march(g *terrain.Grid, row int, levels []float64, upper, lower []int, steps [][]isoStep) {
	for col := range g.Cols - 1 {
		nw, ne, sw, se := upper[col], upper[col+1], lower[col], lower[col+1]
		low, high := min(nw, ne, sw, se), max(nw, ne, sw, se)
		if low == high || low == rankVoid {
			continue
		}
		at := row*g.Cols + col
		north, west, south, east := 2*at, 2*at+1, 2*(at+g.Cols), 2*at+3
		sides := [4]int{north, east, south, west}
		for k := low; k < high; k++ {
			shape := corners(nw > k, ne > k, se > k, sw > k)
			ways := squareWays[shape]
			if joined := joinedWays[shape]; joined != nil && saddle(g, row, col) >= levels[k] {
				ways = joined
			}
			for _, w := range ways {
				steps[k] = append(steps[k], isoStep{sides[w[0]], sides[w[1]]})
			}
		}
	}
}

// corners numbers the corners that are high, a bit each.
func corners(nw, ne, se, sw bool) (high int) {
	for i, is := range [4]bool{nw, ne, se, sw} {
		if is {
			high |= 1 << i
		}
	}
	return high
}

// Sides of a square.
const (
	onNorth = iota
	onEast
	onSouth
	onWest
)

// squareWays are the steps through a square, from side to side, by the corners
// that are high, which lie on the right. Opposite high corners are cut off one by
// one; joinedWays join them.
var (
	squareWays = [16][][2]int{
		0b0001: {{onNorth, onWest}},
		0b0010: {{onEast, onNorth}},
		0b0011: {{onEast, onWest}},
		0b0100: {{onSouth, onEast}},
		0b0101: {{onNorth, onWest}, {onSouth, onEast}},
		0b0110: {{onSouth, onNorth}},
		0b0111: {{onSouth, onWest}},
		0b1000: {{onWest, onSouth}},
		0b1001: {{onNorth, onSouth}},
		0b1010: {{onEast, onNorth}, {onWest, onSouth}},
		0b1011: {{onEast, onSouth}},
		0b1100: {{onWest, onEast}},
		0b1101: {{onNorth, onEast}},
		0b1110: {{onWest, onNorth}},
	}
	joinedWays = [16][][2]int{
		0b0101: {{onNorth, onEast}, {onSouth, onWest}},
		0b1010: {{onWest, onNorth}, {onEast, onSouth}},
	}
)

// saddle is the height of the bilinear surface through a square where it is
// level, above Z0.
func saddle(g *terrain.Grid, row, col int) float64 {
	at := row*g.Stride + col
	nw, ne := float64(g.Z[at]), float64(g.Z[at+1])
	sw, se := float64(g.Z[at+g.Stride]), float64(g.Z[at+g.Stride+1])
	return (nw*se - ne*sw) / (nw + se - ne - sw)
}

// isoLines strings the steps of one level together.
type isoLines struct {
	grid  *terrain.Grid
	level float64 // above Z0
	index int
}

func (l isoLines) join(steps []isoStep, out []Contour) []Contour {
	next, entered := make(map[int]int, len(steps)), make(map[int]bool, len(steps))
	for _, s := range steps {
		next[s.from], entered[s.to] = s.to, true
	}
	follow := func(side int) {
		line := [][2]float64{l.crossing(side)}
		for {
			to, ok := next[side]
			if !ok {
				break
			}
			delete(next, side)
			side = to
			// Where a cell has the very height, sides meet in its middle.
			if p := l.crossing(side); p != line[len(line)-1] {
				line = append(line, p)
			}
		}
		if len(line) > 1 {
			out = append(out, Contour{Level: l.index, Line: line})
		}
	}
	for _, s := range steps {
		if !entered[s.from] {
			follow(s.from)
		}
	}
	for _, s := range steps {
		if _, left := next[s.from]; left {
			follow(s.from)
		}
	}
	return out
}

// crossing is where a side has the level, in cell coordinates of the raster.
func (l isoLines) crossing(side int) [2]float64 {
	g := l.grid
	col, row := side/2%g.Cols, side/2/g.Cols
	at := row*g.Stride + col
	other, east, south := at+1, 1.0, 0.0
	if side&1 != 0 {
		other, east, south = at+g.Stride, 0, 1
	}
	from, to := float64(g.Z[at]), float64(g.Z[other])
	t := (l.level - from) / (to - from)
	return [2]float64{float64(g.Col0+col) + 0.5 + t*east, float64(g.Row0+row) + 0.5 + t*south}
}
