package bank

import (
	"math"
	"slices"
)

// lines strings peaks together and keeps those that are long enough and sure somewhere.
func (s *search) lines(peaks []peak) []Bank {
	done := make([]bool, len(peaks))
	var kept [][]int
	for first := range peaks {
		if done[first] {
			continue
		}
		done[first] = true
		chain := []int{first}
		for k := 0; k < len(chain); k++ {
			s.watch.Did(25)
			p := peaks[chain[k]]
			s.eachNear(peaks, p.cell, gap, func(j int) {
				if !done[j] && s.alike(p, peaks[j]) {
					done[j] = true
					chain = append(chain, j)
				}
			})
		}
		if s.holds(chain, peaks) {
			kept = append(kept, chain)
		}
	}
	slopes := make([]bool, len(kept))
	var ditches, steps []peak
	for line, chain := range kept {
		slopes[line] = s.isSlope(chain, peaks)
		for _, i := range chain {
			switch isDitch := s.shapes[peaks[i].shape].kind == Ditch; {
			case !isDitch:
				steps = append(steps, peaks[i])
			case !slopes[line]:
				ditches = append(ditches, peaks[i])
			}
		}
	}
	for _, all := range [2][]peak{ditches, steps} {
		slices.SortFunc(all, func(a, b peak) int { return a.cell - b.cell })
	}
	var out []Bank
	for line, chain := range kept {
		if slopes[line] && s.sampleM <= fineM {
			continue // slope shows it for what it is
		}
		from := len(out)
		for _, i := range chain {
			if p := peaks[i]; !s.isPartOf(p, ditches, steps) {
				out = append(out, s.bankOf(p, line))
			}
		}
		hidden := slopes[line] || s.isHidden(out[from:])
		for i := range out[from:] {
			out[from+i].Hidden = hidden
		}
	}
	return out
}

// isSlope reports whether the face of a line, or the walls of a ditch, are a slope on half of
// its length: what machines drive through is a draw, and a fall that cells show in full is no step.
func (s *search) isSlope(chain []int, peaks []peak) bool {
	slope := 0
	for _, i := range chain {
		sh, h := &s.shapes[peaks[i].shape], abs32(peaks[i].heightM)
		if sh.kind == Ditch && h < leastWall*sh.halfM || sh.wide && h < leastFace*2*sh.halfM {
			slope++
		}
	}
	return 2*slope > len(chain)
}

// The rise over run from which the wall of a ditch and a wide face are more than slope (planning
// values, no source).
const leastWall, leastFace = 0.6, 0.8

// isHidden reports whether the cells are too coarse to tell a line's face from a slope: where it
// may not be as high as a drop-off on half of its length, or rises by less than a fifth of what
// its face is drawn over.
func (s *search) isHidden(line []Bank) bool {
	if s.sampleM <= fineM || len(line) == 0 {
		return false
	}
	var heights, highs []float64
	for _, b := range line {
		heights, highs = append(heights, b.HeightM), append(highs, b.HighM)
	}
	return median(highs) < showsM || median(heights) < showsOfCell*s.sampleM
}

const (
	fineM       = 4 * 0.3048 // cells that show a face for what it is
	showsM      = 3 * 0.3048 // the drop-off's 3 ft
	showsOfCell = 0.2
)

// eachNear visits the peaks within some cells of one, by their place in a list in order of cells.
func (s *search) eachNear(peaks []peak, cell, cells int, visit func(j int)) {
	c, r := cell%s.g.Cols, cell/s.g.Cols
	for v := -cells; v <= cells; v++ {
		from, to := (r+v)*s.g.Cols+max(c-cells, 0), (r+v)*s.g.Cols+min(c+cells, s.g.Cols-1)
		j, _ := slices.BinarySearchFunc(peaks, from, func(p peak, cell int) int { return p.cell - cell })
		for ; j < len(peaks) && peaks[j].cell <= to; j++ {
			visit(j)
		}
	}
}

// isPartOf reports whether a step is the wall of a ditch, or a ditch the foot of a step: it runs
// along one within the reach of a ditch's rims, and is less high against it than the other.
func (s *search) isPartOf(p peak, ditches, steps []peak) (part bool) {
	isDitch := s.shapes[p.shape].kind == Ditch
	others := ditches
	if isDitch {
		others = steps
	}
	s.eachNear(others, p.cell, s.rimCells, func(j int) {
		o := &others[j]
		if math.Abs(p.dc*o.dc+p.dr*o.dr) < math.Sqrt2/2 {
			return
		}
		if isDitch {
			part = part || abs32(p.heightM) < footOfStep*abs32(o.heightM)
		} else {
			part = part || abs32(p.heightM) <= wallOfDepth*abs32(o.heightM)
		}
	})
	return part
}

// A step is at most so many depths of a ditch high that is its wall, and a ditch less than such a
// part of a step deep that is its foot.
const wallOfDepth, footOfStep = 1.25, 0.5

// gap is over how many cells a line goes on.
const gap = 3

// alike reports whether two peaks run along one line: within 45° of each other.
func (s *search) alike(a, b peak) bool {
	if s.shapes[a.shape].kind != s.shapes[b.shape].kind {
		return false
	}
	along := a.dc*b.dc + a.dr*b.dr
	if s.shapes[a.shape].kind == Ditch {
		along = math.Abs(along)
	}
	return along >= math.Sqrt2/2-1e-9
}

// holds reports whether a line is sure somewhere and long enough.
func (s *search) holds(chain []int, peaks []peak) bool {
	sure := false
	x0, y0, x1, y1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, i := range chain {
		p := peaks[i]
		sure = sure || p.likelihood >= sureLikelihood
		c, r := float64(p.cell%s.g.Cols), float64(p.cell/s.g.Cols)
		x, y := c*s.perCol[0]+r*s.perRow[0], r*s.perRow[1]
		x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
	}
	return sure && math.Hypot(x1-x0, y1-y0) >= lineReaches*s.radiusM
}

func (s *search) bankOf(p peak, line int) Bank {
	h, typical := abs32(p.heightM), s.scale.typicalM[s.tile(p.cell%s.g.Cols, p.cell/s.g.Cols)]
	e := math.Sqrt(float64(p.errorM)*float64(p.errorM) + typical*typical/4 + h*h*shapeError*shapeError)
	b := Bank{
		Kind: s.shapes[p.shape].kind, Cell: p.cell, Line: line,
		HeightM: h, LowM: max(0, h-halfRange*e), HighM: h + halfRange*e, Likelihood: float64(p.likelihood),
	}
	if b.Kind == Ditch {
		rims := s.rims(p.fit, p.dc, p.dr)
		b.Upper, b.Foot = rims[0], rims[1]
	} else {
		b.Upper, b.Foot = s.face(p)
	}
	return b
}

// face is where the face of a step begins and ends: about the greatest fall along its way
// down, as far as cells fall by a part of that more than the slope around.
func (s *search) face(p peak) (upper, foot int) {
	c, r := p.cell%s.g.Cols, p.cell/s.g.Cols
	var cells [2*faceReach + 1]int
	var falls [2 * faceReach]float64
	for k := range cells {
		x, y := along(c, r, (k-faceReach)*s.step, p.dc, p.dr)
		cells[k] = y*s.g.Cols + x
		if k > 0 {
			falls[k-1] = s.z(cells[k-1]) - s.z(cells[k])
		}
	}
	around := slices.Min(falls[:])
	from := faceReach - 1
	for k := faceReach - 2; k <= faceReach+1; k++ { // not off the line
		if falls[k] > falls[from] {
			from = k
		}
	}
	part, to := around+faceOfFall*(falls[from]-around), from
	for from > 0 && falls[from-1] >= part {
		from--
	}
	for to < len(falls)-1 && falls[to+1] >= part {
		to++
	}
	return cells[from], cells[to+1]
}

func (s *search) z(cell int) float64 {
	return float64(s.g.Z[cell/s.g.Cols*s.g.Stride+cell%s.g.Cols])
}

const (
	faceReach  = 2   // samples to either side of a line that its face may reach
	faceOfFall = 0.5 // of its greatest fall, what still counts as its face
)

// shapeError is the part of a height that a face of another width than those tried is off by.
const shapeError = 0.1
