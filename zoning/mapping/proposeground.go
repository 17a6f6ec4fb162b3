package mapping

import (
	"context"
	"math"
	"runtime"
	"slices"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// worked are, by machine of the crew, the cells of the lots that it works, by the piece that its
// middle is on then.
func (p *proposer) worked(ctx context.Context) ([]zoning.Pieces, error) {
	out := make([]zoning.Pieces, len(p.crew))
	workers := runtime.GOMAXPROCS(0)
	if len(p.work.Lots) > atOnceCells {
		workers = 1 // each takes some 3 bytes a cell
	}
	err := inPartsBy(ctx, workers, nil, "", len(p.crew), 1, func(n, _ int) error {
		out[n] = p.workedBy(p.crew[n], p.watch.Another())
		return nil
	})
	return out, err
}

// workedBy spreads the pieces that the middle of a machine may be on over the cells that it
// works from there, each from the nearest.
func (p *proposer) workedBy(k int, watch *beside.Watch) zoning.Pieces {
	cols := p.m.Cells.Cols
	piece := make([]uint16, len(p.work.Lots))
	for _, r := range p.m.Cells.Pieces[k] {
		for i := r.From; i < r.To; i++ {
			piece[i] = r.Piece
		}
	}
	// spread visits the cells beside a cell that it would pass its piece on to.
	spread := func(i int, visit func(beside int)) {
		c := i % cols
		for _, d := range [4]int{1, -1, cols, -cols} {
			j := i + d
			if j < 0 || j >= len(piece) || d == 1 && c == cols-1 || d == -1 && c == 0 {
				continue
			}
			if piece[j] == 0 && p.wouldWork(k, j) {
				visit(j)
			}
		}
	}
	var queue []int32
	for _, r := range p.m.Cells.Pieces[k] {
		watch.Did(int(r.To - r.From))
		for i := int(r.From); i < int(r.To); i++ {
			if i >= cols && i+cols < len(piece) && piece[i-1] != 0 && piece[i+1] != 0 && piece[i-cols] != 0 && piece[i+cols] != 0 {
				continue // as most, amid their piece
			}
			passes := false
			spread(i, func(int) { passes = true })
			if passes {
				queue = append(queue, int32(i))
			}
		}
	}
	for n := 0; n < len(queue); n++ {
		watch.Did(4)
		i := int(queue[n])
		spread(i, func(j int) {
			piece[j] = piece[i]
			queue = append(queue, int32(j))
		})
	}
	return p.runsOf(piece, k, watch)
}

// runsOf are the runs of rows over which the pieces that a machine works cells from are the same.
func (p *proposer) runsOf(piece []uint16, k int, watch *beside.Watch) (out zoning.Pieces) {
	cols := p.m.Cells.Cols
	for first := 0; first < len(piece); first += cols {
		watch.Did(cols)
		before := uint16(0)
		for c, n := range piece[first:][:cols] {
			i := first + c
			if n != 0 && !p.wouldWork(k, i) {
				n = 0
			}
			switch {
			case n != 0 && n != before:
				out = append(out, zoning.PieceRun{From: int32(i), To: int32(i) + 1, Piece: n})
			case n != 0:
				out[len(out)-1].To++
			}
			before = n
		}
	}
	return out
}

// wouldWork reports whether a machine would work a cell if it got there.
func (p *proposer) wouldWork(k, i int) bool {
	if !p.work.Lots[i] {
		return false
	}
	switch p.m.Cells.Lost[k][i] {
	case zoning.Works:
		return true
	case zoning.NoWayIn:
		return p.m.Access.Checked
	case zoning.OnlyAcross: // from the staging there is, if its middle may be there
		return p.m.Access.Checked && p.m.Cells.Pieces[k].At(i) != 0
	}
	return false
}

// ground is all cells that the crew works from the same pieces.
type ground struct {
	from            []uint16 // by machine of the crew: its piece, 0 where it works none of them
	cells, col, row float64  // how many they are, and the sums of where their middles lie
	opened          bool
}

// fromAny reports whether some of the crew works the ground from one of a group's pieces.
func (g *ground) fromAny(pieces []uint16) bool {
	for n, piece := range pieces {
		if piece != 0 && g.from[n] == piece {
			return true
		}
	}
	return false
}

// groundsOf sorts the cells of a window that machines work by the pieces that they work them
// from, given by machine in runs of no more than a row. Sums of halves are exact, in any order.
func groundsOf(worked []zoning.Pieces, cols int, watch *beside.Watch) (out []ground) {
	at := map[string]int{}
	from, key := make([]uint16, len(worked)), make([]byte, 2*len(worked))
	next := make([]int, len(worked)) // by machine, the first run that does not end before cell
	for cell := int32(0); ; {
		watch.Did(len(worked))
		end, any := int32(math.MaxInt32), false // up to where they work from the same pieces
		for n, runs := range worked {
			from[n] = 0
			for next[n] < len(runs) && runs[next[n]].To <= cell {
				next[n]++
			}
			if next[n] == len(runs) {
				continue
			}
			switch r := runs[next[n]]; {
			case r.From > cell:
				end = min(end, r.From)
			default:
				from[n], end, any = r.Piece, min(end, r.To), true
			}
		}
		if end == math.MaxInt32 {
			return out
		}
		if any {
			for n, piece := range from {
				key[2*n], key[2*n+1] = byte(piece), byte(piece>>8)
			}
			g, known := at[string(key)]
			if !known {
				g = len(out)
				at[string(key)] = g
				out = append(out, ground{from: slices.Clone(from)})
			}
			out[g].add(int(cell)%cols, int(end-cell), int(cell)/cols)
		}
		cell = end
	}
}

// add counts cells side by side in a row.
func (g *ground) add(col, cells, row int) {
	n := float64(cells)
	g.cells += n
	g.col += n * (float64(col) + n/2)
	g.row += n * (float64(row) + 0.5)
}
