package quality

import (
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// seam is a straight step in height along the grid's rows or columns.
type seam struct {
	Along string  // "rows" or "columns": between which lines it lies
	At    int     // the line before it, counted in the raster; the first of several
	Lines int     // how many such lines there are: one is a seam, many are stripes
	Cells int     // its length in cells, of all lines
	StepM float64 // height of the step, of many lines the median
}

const (
	// Heights are averaged over stretches of a line; a step must hold on enough
	// of them in a row, 128 cells, or all of a grid that is smaller.
	stretch    = 32
	minStretch = 4
	leastRun   = 2

	// How far a step must stand out among all stretches, in robust standard
	// deviations, and in metres. Chosen on the made data of the test.
	seamSigmas = 6
	seamStepM  = 0.03

	// Up and down again is a wall or a bank, not a seam: at a clean step the
	// measure beside it is -½ of that at it.
	seamLow, seamHigh = -0.75, -0.25

	// Lines in a twentieth of all places are stripes; lines that are uneven
	// four times as much one way as the other are too, where it is 5 cm.
	stripeShare, stripeTimes, stripeM = 0.05, 4, 0.05
)

// findSeams finds seams and stripes along the grid's own rows and columns. Where
// z0 to z3 are the mean heights of 32 cells of four neighbouring lines, the
// measure of a step between z1 and z2 is
//
//	(z2 - z1) - ½·((z1 - z0) + (z3 - z2))
//
// which no even slope moves. A step is a seam where the measure stands out by 6
// robust standard deviations (1.4826 × median absolute value) and 3 cm on 128
// cells in a row, the same way, and goes back on either side as at a clean step.
// Stripes are many such lines, or a measure that is four times as large between
// rows as between columns, or the other way round.
//
// Not caught: seams at an angle to the grid, which findSlanted finds, feathered ones, steps below the
// ground's own unevenness, seams across which only slope changes. Walls,
// terraces and road banks that run exactly along the grid are caught too.
func findSeams(g *terrain.Grid, watch *beside.Watch) []seam {
	rows, cols := lineMeans(g, watch)
	w, h := g.MiddleCellM()
	down, across := stepsOf(rows), stepsOf(cols)
	found := down.seams("rows", g.Row0, across, h*h/(w*w))
	return append(found, across.seams("columns", g.Col0, down, w*w/(h*h))...)
}

// seamDoubts tells of seams and stripes.
func seamDoubts(l *Look, watch *beside.Watch) []Doubt {
	var out []Doubt
	for _, s := range findSeams(l.grid, watch) {
		switch {
		case s.Lines == 1 && l.joins(s):
		case s.Lines == 1:
			out = append(out, doubt(DoubtSeam, s.Cells, "a straight step of %.2g m over %d cells between %s: a seam between surveys, or a wall or bank along the grid", s.StepM, s.Cells, l.between(s)))
		default:
			out = append(out, doubt(DoubtStripes, s.Cells, "%d %s in turn stand higher and lower along their run, by %.2g m as a median: stripes of the survey or of a mosaic, or terraces along the grid", s.Lines, s.Along, s.StepM))
		}
	}
	for _, s := range l.slanted(watch) {
		from, to := l.at(s.from), l.at(s.to)
		out = append(out, doubt(DoubtSeam, s.cells, "a straight step of %.2g m over %d cells at an angle to the grid, from %.5f, %.5f to %.5f, %.5f: a seam between surveys, or a wall or bank", s.stepM, s.cells, from[1], from[0], to[1], to[0]))
	}
	return out
}

// at is the longitude and latitude between the two cells of a step, by the first of them.
func (l *Look) at(cell [2]float64) [2]float64 {
	lon, lat := l.grid.Frame.LonLat(float64(l.grid.Col0)+cell[0]+1, float64(l.grid.Row0)+cell[1]+0.5)
	return [2]float64{lon, lat}
}

// joins reports whether a seam lies where sources meet, on at least half of its length.
func (l *Look) joins(s seam) bool {
	if l.of == nil || l.of.From == nil {
		return false
	}
	g, met := l.grid, 0
	i, step, lines, across := s.At-g.Row0, 1, g.Cols, g.Stride
	at := i * g.Stride
	if s.Along == "columns" {
		i = s.At - g.Col0
		at, step, lines, across = i, g.Stride, g.Rows, 1
	}
	for k := range lines {
		a, b := l.of.From[at+k*step], l.of.From[at+k*step+across]
		if a != b && a != terrain.NoSource && b != terrain.NoSource {
			met++
		}
	}
	return 2*met >= s.Cells
}

// between names the two lines beside a seam: by their numbers in the first source, or, where it
// has no such, by where they lie.
func (l *Look) between(s seam) string {
	g := l.grid
	has := s.At >= 0
	if l.of != nil && len(l.of.Sources) > 0 {
		first := l.of.Sources[0]
		has = has && s.At+1 < map[string]int{"columns": first.Cols, "rows": first.Rows}[s.Along]
	}
	if has {
		return fmt.Sprintf("%s %d and %d", s.Along, s.At, s.At+1)
	}
	col, row := float64(g.Col0)+float64(g.Cols)/2, float64(s.At+1)
	if s.Along == "columns" {
		col, row = float64(s.At+1), float64(g.Row0)+float64(g.Rows)/2
	}
	lon, lat := g.Frame.LonLat(col, row)
	return fmt.Sprintf("two %s near %.5f, %.5f", s.Along, lat, lon)
}

// lineMeans averages heights over stretches of rows and of columns: means[s][i]
// is stretch s of line i, NaN where a cell of it has no height.
func lineMeans(g *terrain.Grid, watch *beside.Watch) (rows, cols [][]float64) {
	rows, cols = newMeans(g.Cols/stretch, g.Rows), newMeans(g.Rows/stretch, g.Cols)
	for r := range g.Rows {
		watch.Did(g.Cols)
		line := g.Line(r)
		for s := range rows {
			sum := 0.0
			for _, z := range line[s*stretch : (s+1)*stretch] {
				sum += float64(z)
			}
			rows[s][r] = sum / stretch
		}
		if s := r / stretch; s < len(cols) {
			for c, z := range line {
				cols[s][c] += float64(z) / stretch
			}
		}
	}
	return rows, cols
}

func newMeans(stretches, lines int) [][]float64 {
	m := make([][]float64, stretches)
	for s := range m {
		m[s] = make([]float64, lines)
	}
	return m
}

// steps is the measure between line i and the next, [stretch][i], and its robust
// standard deviation.
type steps struct {
	at    [][]float64
	sigma float64
}

func stepsOf(means [][]float64) steps {
	room := numbers.Get().(*[]float64)
	defer numbers.Put(room)
	all, j := (*room)[:0], steps{at: make([][]float64, len(means))}
	for s, z := range means {
		at := make([]float64, max(len(z)-1, 0))
		for i := range at {
			at[i] = math.NaN()
			if i > 0 && i+2 < len(z) {
				at[i] = 1.5*(z[i+1]-z[i]) - 0.5*(z[i+2]-z[i-1])
			}
			if at[i] == at[i] {
				all = append(all, math.Abs(at[i]))
			}
		}
		j.at[s] = at
	}
	*room = all
	j.sigma = 1.4826 * Median(all)
	return j
}

// seams judges the lines of one direction; other is the other direction, scale
// what the measure there is to be multiplied by for cells that are not square.
func (j steps) seams(along string, first int, other steps, scale float64) []seam {
	if len(j.at) < leastRun {
		return nil
	}
	var clean, any []seam
	lines := len(j.at[0])
	for i := 1; i+1 < lines; i++ {
		s, tidy, ok := j.run(i)
		if !ok {
			continue
		}
		s.Along, s.At = along, first+i
		any = append(any, s)
		if tidy {
			clean = append(clean, s)
		}
	}
	uneven := j.sigma > stripeTimes*scale*other.sigma && j.sigma > stripeM && len(other.at) >= leastRun
	if uneven {
		return []seam{{along, first, lines, lines * len(j.at) * stretch, j.sigma / 1.4826 / 2}}
	}
	if len(any) > max(2, int(stripeShare*float64(lines))) {
		return []seam{many(any)}
	}
	return clean
}

// run finds the longest row of stretches that stand out at line i, and whether
// the lines beside it are as at a clean step.
func (j steps) run(i int) (s seam, clean, ok bool) {
	limit := math.Max(seamStepM, seamSigmas*j.sigma)
	need := min(minStretch, len(j.at))
	var best []int
	from := 0
	for k := 0; k <= len(j.at); k++ {
		if k < len(j.at) && math.Abs(j.at[k][i]) >= limit && j.at[k][i] > 0 == (j.at[from][i] > 0) {
			continue
		}
		if k-from > len(best) {
			best = []int{}
			for b := from; b < k; b++ {
				best = append(best, b)
			}
		}
		from = k
		if k >= len(j.at) || !(math.Abs(j.at[k][i]) >= limit) {
			from = k + 1
		}
	}
	if len(best) < need {
		return seam{}, false, false
	}
	var here, before, after float64
	for _, b := range best {
		here += j.at[b][i]
		before += j.at[b][i-1]
		after += j.at[b][i+1]
	}
	beside := func(v float64) bool { return !(v/here < seamLow || v/here > seamHigh) } // NaN at the edge passes
	s = seam{Lines: 1, Cells: len(best) * stretch, StepM: math.Abs(here) / float64(len(best))}
	return s, beside(before) && beside(after), true
}

// many sums lines up.
func many(lines []seam) seam {
	s := lines[0]
	s.Lines, s.Cells = len(lines), 0
	var steps []float64
	for _, l := range lines {
		s.Cells += l.Cells
		steps = append(steps, l.StepM)
	}
	slices.Sort(steps)
	s.StepM = steps[len(steps)/2]
	return s
}
