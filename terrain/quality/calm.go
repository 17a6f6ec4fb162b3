package quality

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

const (
	// calmM is how far nine cells of calm water differ at most, for 1 mm of noise on each, and
	// calmTilt what a tilt of 0.05% adds for each meter across them (planning values, no source).
	// Bare earth from lidar differs by some centimeters.
	calmM    = 0.0055
	calmTilt = 0.0007

	// Against the ground around, as far as aroundM, the median of nine cells differs at least so many
	// times less, and so much of what lies beside the shore stands higher by shoreM or more.
	aroundM     = 20
	calmTimes   = 4
	shoreHigher = 0.75
	shoreM      = 0.02
)

// calmWater finds water that is not quite flat: patches of at least the least area of [Water]
// in which every nine cells lie within millimeters of one plane that is all but level, with
// higher ground around on most of the shore, and that much rougher. taken has the cells of
// patches that are known, nil where there are none.
func calmWater(g *terrain.Grid, taken []bool, watch *beside.Watch) []*calmPatch {
	w, h := g.MiddleCellM()
	s := &calm{Grid: g, most: calmMost(w, h), cellM2: w * h, out: int(math.Ceil(aroundM / min(w, h)))}
	s.mark(taken, watch)
	var found []*calmPatch
	for first := range s.in {
		if s.in[first] == calmCell {
			watch.Did(1)
			if p := s.patch(int32(first), watch); p != nil {
				found = append(found, p)
			}
		}
	}
	return found
}

// calmMost is how far nine cells of calm water differ at most.
func calmMost(w, h float64) float32 { return float32(calmM + calmTilt*2*math.Hypot(w, h)) }

// calm is one look for calm water.
type calm struct {
	*terrain.Grid
	most   float32
	cellM2 float64
	out    int    // cells around that a patch is held against
	in     []byte // of each cell, see below; nil where none is calm
}

const (
	calmCell byte = 1 + iota // of nine that are calm
	calmSeen                 // in a patch that was looked at
)

// calmPatch is water with its cells, in reading order.
type calmPatch struct {
	Patch
	cells []int32
}

// rangeAt is how far the nine cells around one differ; NaN where one of them has no height.
func (s *calm) rangeAt(c, r int) float32 {
	at := r*s.Stride + c
	low, high := s.Z[at], s.Z[at]
	for _, row := range [3]int{at - s.Stride, at, at + s.Stride} {
		for _, v := range s.Z[row-1 : row+2] {
			low, high = min(low, v), max(high, v) // NaN stays
		}
	}
	return high - low
}

// mark marks the cells of all nines that are calm. Four cells in a square lie in the nines around
// each of them: where they differ by more, none of the four nines is calm. Nearly all end there.
func (s *calm) mark(taken []bool, watch *beside.Watch) {
	most := 2 * s.most * s.most // of two squares, unless one of them is too large
	for r := 1; r < s.Rows-1; r += 2 {
		watch.Did(2 * s.Cols)
		line := s.Line(r)
		below := s.Line(r + 1)[:len(line)]
		for c := 1; c < len(line)-1; c += 2 {
			d, e := line[c]-below[c+1], line[c+1]-below[c]
			if !(float32(d*d)+float32(e*e) <= most) { // or a void is among them; rounded alike on every processor
				continue
			}
			for y := r; y <= min(r+1, s.Rows-2); y++ {
				for x := c; x <= min(c+1, s.Cols-2); x++ {
					if s.rangeAt(x, y) <= s.most {
						s.markNine(x, y, taken)
					}
				}
			}
		}
	}
}

// markNine marks the cells around one that are not taken.
func (s *calm) markNine(c, r int, taken []bool) {
	if s.in == nil {
		s.in = make([]byte, s.Cols*s.Rows)
	}
	for y := r - 1; y <= r+1; y++ {
		for x := c - 1; x <= c+1; x++ {
			if i := y*s.Cols + x; taken == nil || !taken[i] {
				s.in[i] = calmCell
			}
		}
	}
}

// patch gathers the patch of a cell; nil where it is no water.
func (s *calm) patch(first int32, watch *beside.Watch) *calmPatch {
	s.in[first] = calmSeen
	cells := []int32{first}
	var sum float64
	for k := 0; k < len(cells); k++ {
		watch.Did(1)
		i := int(cells[k])
		c, r := i%s.Cols, i/s.Cols
		sum += s.At(c, r)
		for _, n := range [4][2]int{{c - 1, r}, {c + 1, r}, {c, r - 1}, {c, r + 1}} {
			if n[0] < 0 || n[1] < 0 || n[0] >= s.Cols || n[1] >= s.Rows {
				continue
			}
			if j := n[1]*s.Cols + n[0]; s.in[j] == calmCell {
				s.in[j] = calmSeen
				cells = append(cells, int32(j))
			}
		}
	}
	if len(cells) < waterCells || float64(len(cells))*s.cellM2 < waterM2 {
		return nil
	}
	slices.Sort(cells)
	p := &calmPatch{Patch{
		Col: int(cells[0]) % s.Cols, Row: int(cells[0]) / s.Cols, Cells: len(cells),
		AreaM2: float64(len(cells)) * s.cellM2, HeightM: sum / float64(len(cells)), Calm: true,
	}, cells}
	if c0, r0, c1, r1 := p.box(s.Cols); !s.isLevel(p, c0, r0, c1, r1) || !s.isAmong(p, c0, r0, c1, r1, watch) {
		return nil
	}
	return p
}

// box is the first and the last column and row of a patch on a grid of so many columns.
func (p *calmPatch) box(cols int) (c0, r0, c1, r1 int) {
	c0, c1 = p.Col, p.Col
	for _, i := range p.cells {
		c0, c1 = min(c0, int(i)%cols), max(c1, int(i)%cols)
	}
	return c0, p.Row, c1, int(p.cells[len(p.cells)-1]) / cols
}

// isLevel reports whether a patch as a whole tilts by no more than calm water may: the middles of
// gentle ground are calm, one after the other.
func (s *calm) isLevel(p *calmPatch, c0, r0, c1, r1 int) bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, i := range p.cells {
		z := s.At(int(i)%s.Cols, int(i)/s.Cols)
		low, high = min(low, z), max(high, z)
	}
	w, h := s.MiddleCellM()
	return high-low <= calmM*1.5+calmTilt*math.Hypot(float64(c1-c0)*w, float64(r1-r0)*h)
}

// isAmong reports whether the ground around a patch is that much rougher, and stands higher along
// its shore.
func (s *calm) isAmong(p *calmPatch, c0, r0, c1, r1 int, watch *beside.Watch) bool {
	within := make(map[int32]bool, len(p.cells))
	for _, i := range p.cells {
		within[i] = true
	}
	var inside, outside []float64
	higher, shore := 0, 0
	for r := max(r0-s.out, 1); r <= min(r1+s.out, s.Rows-2); r++ {
		watch.Did(s.Cols)
		for c := max(c0-s.out, 1); c <= min(c1+s.out, s.Cols-2); c++ {
			i := int32(r*s.Cols + c)
			d := s.rangeAt(c, r)
			switch {
			case d != d:
			case within[i]:
				inside = append(inside, float64(d))
			default:
				outside = append(outside, float64(d))
				if s.isShore(within, c, r) {
					shore++
					if s.At(c, r) >= p.HeightM+shoreM {
						higher++
					} else if s.At(c, r) < p.HeightM {
						p.LowerRim++
					}
				}
			}
		}
	}
	if len(inside) == 0 || len(outside) < waterCells || shore == 0 {
		return false // nothing to hold it against
	}
	p.LowerRim /= float64(shore)
	slices.Sort(inside)
	slices.Sort(outside)
	in, out := inside[len(inside)/2], outside[len(outside)/2]
	return out >= calmTimes*max(in, calmM/4) && float64(higher) >= shoreHigher*float64(shore)
}

// isShore reports whether a cell off the water lies two cells from it: the one between may be
// part of both. Beyond the first and the last row there is no water.
func (s *calm) isShore(within map[int32]bool, c, r int) bool {
	for _, n := range [4][2]int{{c - 2, r}, {c + 2, r}, {c, r - 2}, {c, r + 2}} {
		if n[0] >= 0 && n[0] < s.Cols && within[int32(n[1]*s.Cols+n[0])] {
			return true
		}
	}
	return false
}

// addCalm adds calm water to flat water, both in reading order.
func (p *Patches) addCalm(calm []*calmPatch) {
	for _, c := range calm {
		k := int32(len(p.List))
		p.List = append(p.List, c.Patch)
		p.Cells += c.Cells
		p.AreaM2 += c.AreaM2
		for from := 0; from < len(c.cells); {
			to := from + 1
			for to < len(c.cells) && c.cells[to] == c.cells[to-1]+1 && int(c.cells[to])%p.cols != 0 {
				to++
			}
			row, col := c.cells[from]/int32(p.cols), c.cells[from]%int32(p.cols)
			p.runs = append(p.runs, flatRun{row: row, c0: col, c1: col + int32(to-from), root: k})
			from = to
		}
	}
	order := make([]int, len(p.List))
	for i := range order {
		order[i] = i
	}
	all := slices.Clone(p.List)
	slices.SortStableFunc(order, func(a, b int) int { return (all[a].Row-all[b].Row)*p.cols + all[a].Col - all[b].Col })
	now := make([]int32, len(all))
	for to, from := range order {
		p.List[to], now[from] = all[from], int32(to)
	}
	for i := range p.runs {
		p.runs[i].root = now[p.runs[i].root]
	}
	slices.SortFunc(p.runs, func(a, b flatRun) int { return int(a.row-b.row)*p.cols + int(a.c0-b.c0) })
}
