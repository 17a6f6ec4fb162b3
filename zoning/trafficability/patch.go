package trafficability

import (
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
)

// patches takes from each machine, in fleet order, the pieces of its band that are
// smaller than what is worth moving it to. Their cells go to the next machine that
// may work them, and so join the neighbour whose machine passes all its limits on all
// of them; where there is none they are hand work. Then it takes the pieces of all that the
// machine may work, whoever comes before it: a crew may be without that one.
func (w *Work) patches(g *Ground, l *lie, fleet zoning.Fleet, watch *beside.Watch) {
	perCell := l.areaM2 / terrain.SquareMetresPerAcre
	var domain, seen []bool
	var piece []int32
	for k, m := range fleet {
		if m.PatchAcres == 0 {
			continue
		}
		if domain == nil {
			domain, seen = l.touched(g.Lots, watch), make([]bool, len(g.Lots))
		}
		clear(seen)
		for i, in := range domain {
			if i%l.cols == 0 {
				watch.Did(l.cols)
			}
			if !in || seen[i] || w.Masks[i].First() != k {
				continue
			}
			var cells int
			piece, cells = w.piece(piece[:0], i, k, l, g.Lots, domain, seen, watch)
			if float64(cells)*perCell >= m.PatchAcres {
				continue
			}
			for _, i := range piece {
				w.Masks[i] &^= 1 << k
				w.Why[k][i] = zoning.TooSmallAPatch
			}
		}
		w.ownPatches(k, func(cells int) bool { return float64(cells)*perCell >= m.PatchAcres }, g.Lots, domain, l, watch)
	}
}

// ownPatches takes from a machine the pieces of what it may work that are not worth moving it
// to, by their cells of lots. Runs of rows are joined by their sides, by union-find.
func (w *Work) ownPatches(k int, isWorth func(cells int) bool, lots, domain []bool, l *lie, watch *beside.Watch) {
	type run struct{ from, to, root, cells int } // cells of lots, of all runs at a root
	var runs []run
	root := func(i int) int {
		for runs[i].root != i {
			runs[i].root = runs[runs[i].root].root
			i = runs[i].root
		}
		return i
	}
	above, first := 0, 0 // where the runs of the row above, and of this one, begin
	for r := range l.rows {
		watch.Did(l.cols)
		above, first = first, len(runs)
		end := (r + 1) * l.cols
		for at, i := above, r*l.cols; i < end; i++ {
			if !domain[i] || w.Masks[i]>>k&1 == 0 {
				continue
			}
			n := len(runs)
			runs = append(runs, run{from: i, root: n})
			for ; i < end && domain[i] && w.Masks[i]>>k&1 == 1; i++ {
				if lots[i] {
					runs[n].cells++
				}
			}
			runs[n].to = i
			for ; at < first && runs[at].from+l.cols < i; at++ {
				if runs[at].to+l.cols > runs[n].from {
					if a, b := root(at), root(n); a != b {
						runs[a].root = b
						runs[b].cells += runs[a].cells
					}
				}
			}
			at = max(at-1, above) // the last may lie beside the next run, too
		}
	}
	for n, r := range runs {
		if isWorth(runs[root(n)].cells) {
			continue
		}
		for i := r.from; i < r.to; i++ {
			w.Masks[i] &^= 1 << k
			w.Why[k][i] = zoning.TooSmallAPatch
		}
	}
}

// touched marks the cells of some ground and their eight neighbours, in part of which
// it may lie.
func (l *lie) touched(ground []bool, watch *beside.Watch) []bool {
	out := make([]bool, len(ground))
	l.grow(out, ground, disc{half: []int{1, 1}}, false, &spare{watch: watch})
	return out
}

// piece gathers the cells of a machine's band that are connected with one by their
// sides, and counts those of lots.
func (w *Work) piece(piece []int32, from, k int, l *lie, lots, domain, seen []bool, watch *beside.Watch) (_ []int32, cells int) {
	seen[from] = true
	piece = append(piece, int32(from))
	for n := 0; n < len(piece); n++ {
		watch.Did(4)
		i := int(piece[n])
		if lots[i] {
			cells++
		}
		c := i % l.cols
		for _, next := range [4]struct {
			at     int
			within bool
		}{{i - l.cols, i >= l.cols}, {i + l.cols, i+l.cols < len(domain)}, {i - 1, c > 0}, {i + 1, c < l.cols-1}} {
			if next.within && domain[next.at] && !seen[next.at] && w.Masks[next.at].First() == k {
				seen[next.at] = true
				piece = append(piece, int32(next.at))
			}
		}
	}
	return piece, cells
}
