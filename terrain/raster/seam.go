package raster

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// stepShare is the step between two sources, as a share of a cell, from which
// cells across it are marked: over two cells it makes a slope of 1%.
const stepShare = 0.02

// Where two sources do not overlap, the step is what the heights jump beyond the
// rise on both sides. Rough ground does that too, so a jump counts where it is
// roughTimes the usual one beside the seam, and a seam where such are a share of
// roughMost of it, or where half of it jumps the same way.
const (
	roughTimes = 4
	roughMost  = 0.05
)

// seamCells gathers a seam.
type seamCells struct {
	met    bool // the two overlap along it
	pairs  []seamPair
	beside []float64 // jumps beside the seam, in either source
}

type seamPair struct {
	p, q int // cells of the grid
	step float64
}

// weighSeams measures the step along each seam of the canvas, adds the seams of
// coarser layers, and marks the cells across those that step.
func (j *join) weighSeams() ([]terrain.Seam, []bool) {
	c, g := j.canvas, j.canvas.grid
	found := map[[2]uint16]*[2]seamCells{} // not overlapping, overlapping
	look := func(p, q, along int) {
		a, b := c.from[p], c.from[q]
		if a == b || a == terrain.NoSource || b == terrain.NoSource {
			return
		}
		key := [2]uint16{min(a, b), max(a, b)}
		if found[key] == nil {
			found[key] = &[2]seamCells{{}, {met: true}}
		}
		if step, ok := c.metStep(p, q); ok {
			s := &found[key][1]
			s.pairs = append(s.pairs, seamPair{p, q, step})
			return
		}
		if j.layerOf[a] == j.layerOf[b] && j.layerOf[a] > 0 {
			return // measured on its own grid
		}
		s := &found[key][0]
		if step, ok := c.jump(p-along, p, q, q+along, a, a, b, b); ok {
			s.pairs = append(s.pairs, seamPair{p, q, step})
		}
		for _, beside := range [][5]int{{p - 3*along, p - 2*along, p - along, p, int(a)}, {q, q + along, q + 2*along, q + 3*along, int(b)}} {
			v := uint16(beside[4])
			if step, ok := c.jump(beside[0], beside[1], beside[2], beside[3], v, v, v, v); ok {
				s.beside = append(s.beside, math.Abs(step))
			}
		}
	}
	for r := range g.Rows {
		for i := range g.Cols {
			at := r*g.Stride + i
			if i+1 < g.Cols {
				look(at, at+1, 1)
			}
			if r+1 < g.Rows {
				look(at, at+g.Stride, g.Stride)
			}
		}
	}
	keys := make([][2]uint16, 0, len(found))
	for k := range found {
		keys = append(keys, k)
	}
	slices.SortFunc(keys, func(a, b [2]uint16) int { return slices.Compare(a[:], b[:]) })
	seams, stepped := j.seams, j.stepped
	w, h := g.Frame.MetricAt(float64(g.Col0)+float64(g.Cols)/2, float64(g.Row0)+float64(g.Rows)/2).CellM()
	least := stepShare * math.Sqrt(w*h)
	for _, k := range keys {
		sameLayer := j.layerOf[k[0]] == j.layerOf[k[1]]
		for _, s := range found[k] {
			if len(s.pairs) == 0 {
				continue
			}
			seam, marked := s.weigh(least, sameLayer)
			seam.A, seam.B = int(k[0]), int(k[1])
			seams = append(seams, seam)
			for _, pair := range marked {
				if stepped == nil {
					stepped = make([]bool, len(g.Z))
				}
				markAcross(g, stepped, pair)
			}
		}
	}
	return seams, stepped
}

// metStep is the step between two cells' sources where both have a height.
func (c *canvas) metStep(p, q int) (float64, bool) {
	if m, ok := c.met[p]; ok && m.source == c.from[q] {
		return float64(m.stepM), true
	}
	if m, ok := c.met[q]; ok && m.source == c.from[p] {
		return -float64(m.stepM), true
	}
	return 0, false
}

// jump is how much more the heights rise from the second to the third of four
// cells in line than on both sides, where the cells are of the sources named.
func (c *canvas) jump(i0, i1, i2, i3 int, s0, s1, s2, s3 uint16) (float64, bool) {
	z := c.grid.Z
	if i0 < 0 || i3 >= len(z) || c.from[i0] != s0 || c.from[i1] != s1 || c.from[i2] != s2 || c.from[i3] != s3 {
		return 0, false
	}
	if along := i1 - i0; along == 1 && i0/c.grid.Stride != i3/c.grid.Stride {
		return 0, false
	}
	a, b, d, e := float64(z[i0]), float64(z[i1]), float64(z[i2]), float64(z[i3])
	return d - b - ((b-a)+(e-d))/2, true
}

// weigh sums up a seam and picks the pairs of cells that step.
func (s *seamCells) weigh(least float64, sameLayer bool) (terrain.Seam, []seamPair) {
	sizes, signed := make([]float64, len(s.pairs)), make([]float64, len(s.pairs))
	for i, p := range s.pairs {
		sizes[i], signed[i] = math.Abs(p.step), p.step
	}
	out := terrain.Seam{Cells: len(s.pairs), MedianM: median(sizes), GreatestM: slices.Max(sizes)}
	limit := least
	if !s.met {
		limit = max(limit, roughTimes*median(s.beside))
	}
	var marked []seamPair
	for _, p := range s.pairs {
		if math.Abs(p.step) > limit {
			marked = append(marked, p)
		}
	}
	out.Tells = len(marked) > 0 || !sameLayer
	if !s.met && float64(len(marked)) < roughMost*float64(len(s.pairs)) && math.Abs(median(signed)) <= limit {
		out.Tells, marked = !sameLayer, nil
	}
	out.Steps = len(marked) > 0
	return out, marked
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	v = slices.Sorted(slices.Values(v))
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}

// markAcross marks the cells whose 3 × 3 cells hold both of a pair.
func markAcross(g *terrain.Grid, marks []bool, pair seamPair) {
	pc, pr, qc, qr := pair.p%g.Stride, pair.p/g.Stride, pair.q%g.Stride, pair.q/g.Stride
	for r := max(pr, qr) - 1; r <= min(pr, qr)+1; r++ {
		for c := max(pc, qc) - 1; c <= min(pc, qc)+1; c++ {
			if r >= 0 && c >= 0 && r < g.Rows && c < g.Cols {
				marks[r*g.Stride+c] = true
			}
		}
	}
}
