package trafficability

import (
	"context"
	"fmt"
	"math"
	"runtime"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// A drop-off is ground that falls by dropOffPct or more from one cell to the next, and
// by leastDropM or more in all before it eases: 100 % and 3 ft (planning values, no
// source). So is a bank or ditch whose height may be leastDropM.
const (
	dropOffPct = 100
	leastDropM = 3 * zoning.MetresPerFoot
)

// Edge is a cell at the upper edge of a drop.
type Edge struct {
	Cell  int
	Foot  int     // the cell where the fall eases
	DropM float64 // how much lower that is, or how high the bank that was fitted there is

	// LowM and HighM are the ends of the height's range with 90% certainty; 0 where it is not known.
	LowM, HighM float64
}

// falls follows the fall of the ground from cell to cell.
type falls struct {
	*terrain.Grid
	lengthM [len(neighbours)]float64
	shortM  float64
}

// neighbours are the eight around a cell.
var neighbours = [8][2]int{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}}

// DropOffs finds the upper edges of drop-offs: of ground that falls so from cell to cell, and
// of the grid's banks, as [bank.Find] found them; nil knows of none. Banks off the grid are an
// error. Once the context is done, it ends with its error.
func DropOffs(ctx context.Context, g *terrain.Grid, banks []bank.Bank) (_ []Edge, err error) {
	if err := g.Check(); err != nil {
		return nil, err
	}
	if err := checkBanks(g, banks); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	return withBanks(g, edges(beside.NewWatch(ctx), g, lieOf(g), dropOffPct/100.0, leastDropM), banks), nil
}

// checkBanks refuses banks of another grid.
func checkBanks(g *terrain.Grid, banks []bank.Bank) error {
	for _, b := range banks {
		for _, cell := range [3]int{b.Cell, b.Upper, b.Foot} {
			if cell < 0 || cell >= g.Cols*g.Rows {
				return fmt.Errorf("a bank lies on cell %d of %d: it is none of this window", cell, g.Cols*g.Rows)
			}
		}
		if !(b.LowM >= 0 && b.LowM <= b.HeightM && b.HeightM <= b.HighM) || math.IsInf(b.HighM, 0) {
			return fmt.Errorf("a bank of %g m, %g to %g m, on cell %d: its height lies in no range of its own", b.HeightM, b.LowM, b.HighM, b.Cell)
		}
	}
	return nil
}

// edges finds the upper edges of drops in which every cell falls to the next by rise
// over run or more, and which are leastM high or more in all.
func edges(watch *beside.Watch, g *terrain.Grid, l *lie, rise, leastM float64) []Edge {
	f := &falls{Grid: g, shortM: math.Inf(1)}
	for i, n := range neighbours {
		f.lengthM[i] = l.distM(n[0], n[1])
		f.shortM = min(f.shortM, f.lengthM[i])
	}
	parts := make([][]Edge, runtime.GOMAXPROCS(0))
	each := (g.Rows + len(parts) - 1) / len(parts)
	var all beside.Group
	for i := range parts {
		all.Go(func() {
			watch := watch.Another()
			for r := i * each; r < min((i+1)*each, g.Rows); r++ {
				watch.Did(g.Cols)
				parts[i] = f.edgesOfRow(parts[i], r, rise, leastM)
			}
		})
	}
	all.Wait()
	return slices.Concat(parts...)
}

func (f *falls) edgesOfRow(out []Edge, r int, rise, leastM float64) []Edge {
	row := f.Z[r*f.Stride:][:f.Cols]
	up, down := row, row
	if r > 0 {
		up = f.Z[(r-1)*f.Stride:][:f.Cols]
	}
	if r < f.Rows-1 {
		down = f.Z[(r+1)*f.Stride:][:f.Cols]
	}
	least := float32(rise * f.shortM)
	for c, z := range row {
		w, e := max(c-1, 0), min(c+1, f.Cols-1)
		// No neighbour lies so much lower: most cells end here. A void is no number, and
		// so is never lower.
		low := z - least
		if !(row[w] <= low || row[e] <= low || up[w] <= low || up[c] <= low || up[e] <= low || down[w] <= low || down[c] <= low || down[e] <= low) {
			continue
		}
		if !f.isUpper(c, r, rise) {
			continue
		}
		next, fall := f.steepest(c, r)
		if fall < rise {
			continue
		}
		foot := f.foot(next, rise)
		drop := float64(z) - float64(f.Z[foot/f.Cols*f.Stride+foot%f.Cols])
		if drop >= leastM {
			out = append(out, Edge{Cell: r*f.Cols + c, Foot: foot, DropM: drop})
		}
	}
	return out
}

// steepest finds the neighbour to which a cell falls most, as rise over run; -1 where
// none is lower.
func (f *falls) steepest(c, r int) (next int, fall float64) {
	next = -1
	z := f.Z[r*f.Stride+c]
	for i, n := range neighbours {
		x, y := c+n[0], r+n[1]
		if x < 0 || y < 0 || x >= f.Cols || y >= f.Rows {
			continue
		}
		if d := z - f.Z[y*f.Stride+x]; d > 0 { // not where either is void
			if s := float64(d) / f.lengthM[i]; s > fall {
				next, fall = y*f.Cols+x, s
			}
		}
	}
	return next, fall
}

// isUpper reports whether no neighbour of a cell falls to it as steeply.
func (f *falls) isUpper(c, r int, rise float64) bool {
	z := f.Z[r*f.Stride+c]
	for i, n := range neighbours {
		x, y := c+n[0], r+n[1]
		if x >= 0 && y >= 0 && x < f.Cols && y < f.Rows && float64(f.Z[y*f.Stride+x]-z) >= rise*f.lengthM[i] {
			return false
		}
	}
	return true
}

// foot follows the fall from a cell to where it eases.
func (f *falls) foot(cell int, rise float64) int {
	for {
		next, fall := f.steepest(cell%f.Cols, cell/f.Cols)
		if fall < rise {
			return cell
		}
		cell = next
	}
}

// eachNear visits the cells of a disc around a cell, in runs of a row.
func (l *lie) eachNear(cell int, d disc, visit func(from, to int)) {
	c, r := cell%l.cols, cell/l.cols
	for v := -len(d.half) + 1; v < len(d.half); v++ {
		if y := r + v; y >= 0 && y < l.rows {
			half := d.half[max(v, -v)]
			visit(y*l.cols+max(c-half, 0), y*l.cols+min(c+half, l.cols-1)+1)
		}
	}
}

// keepFromEdges closes the ground above drop-offs that is too near to their edges.
func (p *mover) keepFromEdges() {
	p.eachAbove(p.ground.Edges, func(i int) {
		if p.scratch.open.has(i) {
			p.scratch.open.drop(i)
			p.scratch.heads[p.padded(i)] = 0
			p.refuseCell(i, zoning.NearDropOff)
		}
	})
}

// eachAbove visits the cells above drops that the machine keeps off.
func (p *mover) eachAbove(edges []Edge, visit func(i int)) {
	least := p.lie.disc(p.footprintM(), atLeast)
	for _, e := range edges {
		d := least
		if e.DropM > p.footprintM() {
			d = p.lie.disc(e.DropM, atLeast)
		}
		middle := float64(p.ground.Grid.Z[e.Cell/p.lie.cols*p.ground.Grid.Stride+e.Cell%p.lie.cols]) - e.DropM/2
		p.lie.eachNear(e.Cell, d, func(from, to int) {
			p.watch.Did(to - from)
			row := p.ground.Grid.Z[from/p.lie.cols*p.ground.Grid.Stride+from%p.lie.cols:][:to-from]
			for i, z := range row {
				if float64(z) > middle {
					visit(from + i)
				}
			}
		})
	}
}
