package quality

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// slant is a straight step in height at an angle to the grid.
type slant struct {
	from, to [2]float64 // its ends, column and row in the window
	cells    int
	stepM    float64
}

const (
	// A slanted step stands out cell by cell, by so many robust standard deviations of the
	// measure and by slantM, on at least slantCells lines in a row, or four fifths of a grid
	// that is smaller; slantGap lines may miss it. Chosen on the made data of the test.
	slantSigmas = 5
	slantM      = 0.1
	slantCells  = 128
	slantGap    = 2

	// It is straight: no more than this off its line, in cells, as a root mean square; even: its steps
	// differ by no more than this part of their middle; and at an angle: it crosses slantTurn lines.
	slantOff    = 0.75
	slantUneven = 0.35
	slantTurn   = 4

	// Where more of the cells stand out, or more lines do, the ground is rough, or terraced.
	slantHits = 0.01
	mostSlant = 2
)

// findSlanted finds steps that run straight at an angle to the grid: the measure of [findSeams]
// between single cells, along rows for those nearer to the columns and down columns for the
// others, strung together from line to line.
//
// Not caught: steps that do not stand out of a cell's own unevenness, feathered ones, and more than
// two of them. Walls and banks with even edges are caught too.
func findSlanted(g *terrain.Grid, watch *beside.Watch) []slant {
	var out []slant
	for _, down := range []bool{false, true} {
		found, ok := newSlanter(g, down).find(watch)
		if !ok {
			return nil
		}
		out = append(out, found...)
	}
	if len(out) > mostSlant {
		return nil
	}
	return out
}

// slanted are those of the grid that lie in one source; stairs of whole meters have many.
func (l *Look) slanted(watch *beside.Watch) (out []slant) {
	if l.stepped {
		return nil
	}
	for _, s := range findSlanted(l.grid, watch) {
		if !l.meet(s) {
			out = append(out, s)
		}
	}
	return out
}

// meet reports whether sources meet along a slanted step.
func (l *Look) meet(s slant) bool {
	if l.of == nil || l.of.From == nil {
		return false
	}
	g, n := l.grid, 0
	for k := range s.cells {
		t := (float64(k) + 0.5) / float64(s.cells)
		c, r := int(s.from[0]+t*(s.to[0]-s.from[0])), int(s.from[1]+t*(s.to[1]-s.from[1]))
		first := l.of.From[r*g.Stride+c]
		for _, d := range [][2]int{{2, 0}, {-2, 0}, {0, 2}, {0, -2}} {
			if x, y := c+d[0], r+d[1]; x >= 0 && y >= 0 && x < g.Cols && y < g.Rows {
				if o := l.of.From[y*g.Stride+x]; o != first && o != terrain.NoSource && first != terrain.NoSource {
					n++
					break
				}
			}
		}
	}
	return 2*n >= s.cells
}

// slanter looks along the lines of one direction.
type slanter struct {
	g           *terrain.Grid
	down        bool
	lines, long int
	line        []float32
	steps       []float64
	open, found []*strand
}

// strand is hits strung together.
type strand struct {
	lines, at     []int
	steps         []float64
	before, after float64 // sums of the measures on both sides
}

func newSlanter(g *terrain.Grid, down bool) *slanter {
	s := &slanter{g: g, down: down, lines: g.Rows, long: g.Cols}
	if down {
		s.lines, s.long = g.Cols, g.Rows
	}
	s.line, s.steps = make([]float32, s.long), make([]float64, s.long)
	return s
}

// heights are those of a line.
func (s *slanter) heights(line int) []float32 {
	if !s.down {
		return s.g.Line(line)
	}
	z := s.g.Z[line:]
	for r := range s.line {
		s.line[r] = z[r*s.g.Stride]
	}
	return s.line
}

// slantStep is the measure between the middle two of four heights.
func slantStep(a, b, c, d float32) float64 { return 1.5*float64(c-b) - 0.5*float64(d-a) }

// measure fills steps with the measure of a line; none is known at either end.
func (s *slanter) measure(line int) []float64 {
	z := s.heights(line)
	for i := range s.steps {
		s.steps[i] = math.NaN()
		if i > 0 && i+2 < len(z) {
			s.steps[i] = slantStep(z[i-1], z[i], z[i+1], z[i+2])
		}
	}
	return s.steps
}

// amounts appends the measures of a line that are known, without their signs, and tells the largest.
func (s *slanter) amounts(to []float64, line int) (_ []float64, top float64) {
	z := s.heights(line)
	if len(z) < 4 {
		return to, 0
	}
	n := len(to)
	to = slices.Grow(to, len(z))[:n+len(z)]
	a, b, c := z, z[1:], z[2:]
	for i, d := range z[3:] {
		m := math.Abs(slantStep(a[i], b[i], c[i], d))
		to[n] = m
		n += count(m == m)
		if m > top {
			top = m
		}
	}
	return to[:n], top
}

func count(is bool) int {
	n := 0
	if is {
		n = 1
	}
	return n
}

// limit is the measure from which a cell stands out. It is none where too few lines have such a
// cell, whatever the limit.
func (s *slanter) limit() (limit float64, none bool) {
	room := numbers.Get().(*[]float64)
	defer numbers.Put(room)
	sample, tops := (*room)[:0], make([]float64, 0, min(s.lines, 128))
	every := max(1, s.lines/64)
	for line := 0; line < s.lines; line += every {
		var top float64
		sample, top = s.amounts(sample, line)
		tops = append(tops, top)
	}
	*room = sample
	if every == 1 && s.tooFew(sample, tops) {
		return 0, true
	}
	if upTo(slantM, slantScale, sample) > len(sample)/2 { // calm, and so is their median
		return slantM, false
	}
	return max(slantM, slantScale*Median(sample)), false
}

// slantScale makes the limit of a median.
const slantScale = slantSigmas * 1.4826

// tooFew reports whether fewer lines than a slant has surely have a cell that stands out, given all
// measures and the largest of each line: the limit is above what only so many lines pass.
func (s *slanter) tooFew(all, tops []float64) bool {
	need := s.least()
	if need < 1 {
		return false
	}
	slices.Sort(tops)
	top := tops[len(tops)-need]
	if top >= slantM && upTo(top, slantScale, all) > len(all)/2 {
		return false
	}
	return !s.tooMany(len(all) - upTo(top, 1, all))
}

// upTo counts values that are not above a bound, times a scale.
func upTo(bound, scale float64, values []float64) int {
	n := 0
	for _, v := range values {
		n += count(scale*v <= bound)
	}
	return n
}

// least is how many lines a slant has.
func (s *slanter) least() int { return min(slantCells, s.lines*4/5) }

// tooMany reports whether so many cells stand out that the ground is rough, or terraced.
func (s *slanter) tooMany(hits int) bool {
	return float64(hits) > slantHits*float64(s.lines)*float64(s.long)+2*float64(s.lines)
}

// find strings hits together; not ok where too many stand out.
func (s *slanter) find(watch *beside.Watch) ([]slant, bool) {
	limit, none := s.limit()
	if none {
		return nil, true
	}
	return s.findFrom(limit, watch)
}

// findFrom is find with a limit.
func (s *slanter) findFrom(limit float64, watch *beside.Watch) ([]slant, bool) {
	hits := 0
	for line := range s.lines {
		watch.Did(s.long)
		m := s.measure(line)
		for i := range m { // none is known at either end
			if a := math.Abs(m[i]); a >= limit && !(math.Abs(m[i-1]) > a) && !(math.Abs(m[i+1]) >= a) {
				hits++
				s.string(line, i, m)
			}
		}
		if s.tooMany(hits) {
			return nil, false
		}
		s.close(line - slantGap)
	}
	s.close(s.lines)
	var out []slant
	for _, c := range s.found {
		if found, ok := s.judge(c); ok {
			out = append(out, found)
		}
	}
	return out, true
}

// string adds a hit to the strand that comes nearest, or begins one.
func (s *slanter) string(line, at int, m []float64) {
	var best *strand
	for _, c := range s.open {
		last := len(c.at) - 1
		gap := line - c.lines[last]
		if gap < 1 || (c.steps[last] > 0) != (m[at] > 0) || abs(at-c.at[last]) > gap+1 {
			continue
		}
		if best == nil || abs(at-c.at[last]) < abs(at-best.at[len(best.at)-1]) {
			best = c
		}
	}
	if best == nil {
		best = &strand{}
		s.open = append(s.open, best)
	}
	best.lines, best.at, best.steps = append(best.lines, line), append(best.at, at), append(best.steps, m[at])
	best.before, best.after = best.before+m[at-1], best.after+m[at+1]
}

func abs(i int) int { return max(i, -i) }

// close ends the strands without a hit since a line.
func (s *slanter) close(line int) {
	kept := s.open[:0]
	for _, c := range s.open {
		switch {
		case c.lines[len(c.lines)-1] >= line:
			kept = append(kept, c)
		case len(c.lines) >= s.least():
			s.found = append(s.found, c)
		}
	}
	s.open = kept
}

// judge reports whether a strand is straight, even, at an angle and a clean step.
func (s *slanter) judge(c *strand) (slant, bool) {
	n := float64(len(c.at))
	var mx, my, xx, xy float64
	for i, at := range c.at {
		mx, my = mx+float64(c.lines[i])/n, my+float64(at)/n
	}
	for i, at := range c.at {
		dx := float64(c.lines[i]) - mx
		xx, xy = xx+dx*dx, xy+dx*(float64(at)-my)
	}
	turn, off, sum := xy/xx, 0.0, 0.0
	for i, at := range c.at {
		d := float64(at) - my - turn*(float64(c.lines[i])-mx)
		off += d * d / n
		sum += c.steps[i]
	}
	first, last := float64(c.lines[0]), float64(c.lines[len(c.lines)-1])
	middle := Median(c.steps)
	uneven := make([]float64, len(c.steps))
	for i, v := range c.steps {
		uneven[i] = math.Abs(v - middle)
	}
	clean := func(side float64) bool { return side/sum >= seamLow && side/sum <= seamHigh }
	straight := math.Sqrt(off) <= slantOff && math.Abs(turn) <= 1.05 && math.Abs(turn)*(last-first) >= slantTurn
	if !straight || 1.4826*Median(uneven) > slantUneven*math.Abs(middle) || !clean(c.before) || !clean(c.after) {
		return slant{}, false
	}
	end := func(line float64) [2]float64 {
		at := my + turn*(line-mx)
		if s.down {
			return [2]float64{line, at}
		}
		return [2]float64{at, line}
	}
	return slant{end(first), end(last), len(c.at), math.Abs(middle)}, true
}
