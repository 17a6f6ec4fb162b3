package raster

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// layer is the rasters at a place that lie on one grid, the first at its
// (0, 0).
type layer struct {
	members []member
	window  terrain.Window // of the place, with the halo
	halo    int            // of cells around it
	share   float64        // of the place's window that the rasters cover, in hundredths
	spare   []float32      // memory for its heights; nil makes some
}

// member is a raster on a grid, its first cell at (cols, rows) of that grid.
type member struct {
	raster     *Raster
	cols, rows int
}

func (m member) extent() terrain.Window { return m.raster.Extent().Moved(m.cols, m.rows) }

// layersAt sorts the rasters that lie around points by grid, the finest first, of equals
// the one with the newest survey, then the one that covers most, then by name; and so those
// on one grid. In which order they are given does not matter. It lists none where none of the points lies on a raster. beyond is how many cells the window of a
// raster has around the points.
func layersAt(rasters []*Raster, edges [][2]float64, beyond func(*Raster) int) ([]*layer, error) {
	var layers []*layer
	rasters = slices.SortedStableFunc(slices.Values(rasters), func(a, b *Raster) int { return rankOf(a).compare(rankOf(b)) })
	for _, r := range rasters {
		n := beyond(r)
		w, err := r.around(edges, n)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
		}
		if w.In(r.Extent()).Empty() {
			continue
		}
		if !slices.ContainsFunc(layers, func(l *layer) bool { return l.add(r) }) {
			layers = append(layers, &layer{window: w, halo: n, members: []member{{raster: r}}})
		}
	}
	for _, l := range layers {
		var parts []terrain.Window
		for _, m := range l.members {
			parts = append(parts, m.extent())
		}
		l.share = math.Ceil(100*coverage(l.window.Grown(-l.halo), parts)) / 100
	}
	layers = slices.DeleteFunc(layers, func(l *layer) bool { return l.share == 0 })
	var sorted []*layer
	for len(layers) > 0 {
		best := 0
		for i := range layers {
			if layers[i].before(layers[best]) {
				best = i
			}
		}
		sorted = append(sorted, layers[best])
		layers = slices.Delete(layers, best, best+1)
	}
	return sorted, nil
}

// add takes a raster in if it lies on the layer's grid.
func (l *layer) add(r *Raster) bool {
	first := l.members[0].raster
	if r == first {
		return true
	}
	cols, rows, ok := first.offset(r)
	if ok {
		l.members = append(l.members, member{r, cols, rows})
	}
	return ok
}

// before reports whether a layer serves before another. Cells within a twentieth
// in area are equal: a grid of one spacing has cells of many sizes over a zone.
func (l *layer) before(o *layer) bool {
	a, b := cellArea(l), cellArea(o)
	if a < 0.95*b || b < 0.95*a {
		return a < b
	}
	first, second := rankOf(l.members[0].raster), rankOf(o.members[0].raster) // the newest of each
	if first.tier != second.tier {
		return first.tier < second.tier
	}
	if first.surveyed != second.surveyed {
		return first.surveyed > second.surveyed
	}
	return l.share > o.share // those of one share are in order already
}

func cellArea(l *layer) float64 {
	c := l.members[0].raster.Source.CellM
	return c[0] * c[1]
}

// cover is the smallest window around the parts of w that lie on the layer.
func (l *layer) cover(w terrain.Window) terrain.Window {
	cover := terrain.NewWindow(math.MaxInt, math.MaxInt, math.MinInt, math.MinInt)
	for _, m := range l.members {
		if p := w.In(m.extent()); !p.Empty() {
			cover = terrain.NewWindow(min(cover.Col0, p.Col0), min(cover.Row0, p.Row0), max(cover.Col1, p.Col1), max(cover.Row1, p.Row1))
		}
	}
	if cover.Empty() {
		return terrain.Window{}
	}
	return cover
}

// coverage is the share of a window's cells that lie in at least one of the
// parts. The window is cut into bands of rows at every part's edge; in a band,
// parts are stretches of columns.
func coverage(w terrain.Window, parts []terrain.Window) float64 {
	cuts := []int{w.Row0, w.Row1}
	for _, p := range parts {
		cuts = append(cuts, min(max(p.Row0, w.Row0), w.Row1), min(max(p.Row1, w.Row0), w.Row1))
	}
	slices.Sort(cuts)
	slices.SortFunc(parts, func(a, b terrain.Window) int { return cmp.Compare(a.Col0, b.Col0) })
	cells := 0.0
	for i := 1; i < len(cuts); i++ {
		band := terrain.NewWindow(w.Col0, cuts[i-1], w.Col1, cuts[i])
		col := w.Col0
		for _, p := range parts {
			if p = p.In(band); !p.Empty() && p.Col1 > col {
				cells += float64(p.Col1-max(p.Col0, col)) * float64(p.Rows())
				col = p.Col1
			}
		}
	}
	if cells == 0 {
		return 0
	}
	return cells / (float64(w.Cols()) * float64(w.Rows()))
}

// offset tells how many cells a raster's first cell lies from this one's, and
// whether both lie on one grid: the same CRS, cells of the same size and turn,
// whole cells apart.
func (r *Raster) offset(o *Raster) (cols, rows int, ok bool) {
	g, h := &r.grid, &o.grid
	cell := math.Hypot(g[1], g[4])
	span := float64(max(o.Source.Cols, o.Source.Rows))
	for _, k := range []int{1, 2, 4, 5} {
		if math.Abs(g[k]-h[k])*span > 1e-2*cell {
			return 0, 0, false
		}
	}
	det := g[1]*g[5] - g[2]*g[4]
	dx, dy := h[0]-g[0], h[3]-g[3]
	c, w := (dx*g[5]-dy*g[2])/det, (dy*g[1]-dx*g[4])/det
	if math.Abs(c-math.Round(c)) > 1e-2 || math.Abs(w-math.Round(w)) > 1e-2 || math.Abs(c)+math.Abs(w) > math.MaxInt32 {
		return 0, 0, false
	}
	return int(math.Round(c)), int(math.Round(w)), r.place.sr.IsSame(o.place.sr)
}
