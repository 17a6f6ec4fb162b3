package raster

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// Mosaic is those rasters of a catalogue that lie on one grid, laid out on it. Its first
// cell is the north-western of all.
type Mosaic struct {
	Cols, Rows int
	Entries    []Entry          // with what headers say, those that were listed without too
	At         []terrain.Window // of each, its cells
	Place      terrain.Georeference

	first *Raster // the one whose grid it is, while others are laid out on it
}

// ErrGrids says that rasters do not lie on one grid.
var ErrGrids = errors.New("the rasters lie on several grids")

// Mosaics lays out the rasters of a catalogue, those with the same CRS and cells, whole
// cells apart, on one grid, those first that serve where several have a height (see [Read]): as
// many as there are grids, in the order of their first
// rasters.
func (c *Catalogue) Mosaics(ctx context.Context) ([]*Mosaic, error) {
	var all []*Mosaic
	for i := range c.entries {
		if err := c.layOut(ctx, &all, i); err != nil {
			return nil, err
		}
	}
	for _, m := range all {
		m.gather()
		m.rank()
	}
	return all, nil
}

// rank puts the entries in the order in which they serve where several have a height.
func (m *Mosaic) rank() {
	order := make([]int, len(m.Entries))
	for i := range order {
		order[i] = i
	}
	of := func(i int) rank { return rank{m.Entries[i].Rank, m.Entries[i].Surveyed, m.Entries[i].Path} }
	slices.SortStableFunc(order, func(a, b int) int { return of(a).compare(of(b)) })
	entries, at := make([]Entry, len(order)), make([]terrain.Window, len(order))
	for k, i := range order {
		entries[k], at[k] = m.Entries[i], m.At[i]
	}
	m.Entries, m.At = entries, at
}

// layOut puts an entry into the mosaic on whose grid it lies, or begins one.
func (c *Catalogue) layOut(ctx context.Context, all *[]*Mosaic, i int) error {
	e := c.entries[i]
	if e.Cols == 0 {
		rasters, err := c.open(ctx, []int{i})
		if err != nil {
			return err
		}
		e = rasters[0].entry()
	}
	e.southward()
	for _, m := range *all {
		w, ok := m.Entries[0].lay(e)
		if ok && e.CRS != m.Entries[0].CRS { // another text may be the same CRS, or overruled
			rasters, err := c.open(ctx, []int{i})
			if err != nil {
				return err
			}
			_, _, ok = m.first.offset(rasters[0])
		}
		if ok {
			m.Entries, m.At = append(m.Entries, e), append(m.At, w)
			return nil
		}
	}
	rasters, err := c.open(ctx, []int{i})
	if err != nil {
		return err
	}
	first := rasters[0]
	*all = append(*all, &Mosaic{
		Entries: []Entry{e}, At: []terrain.Window{{Col1: e.Cols, Row1: e.Rows}}, Place: first.georeference(first.Extent()), first: first,
	})
	return nil
}

// gather moves the mosaic's first cell to the north-west of all.
func (m *Mosaic) gather() {
	all := m.At[0]
	for _, w := range m.At {
		all = terrain.NewWindow(min(all.Col0, w.Col0), min(all.Row0, w.Row0), max(all.Col1, w.Col1), max(all.Row1, w.Row1))
	}
	for i := range m.At {
		m.At[i] = m.At[i].Moved(-all.Col0, -all.Row0)
	}
	m.Cols, m.Rows, m.first = all.Cols(), all.Rows(), nil
	m.Place = m.Place.Moved(float64(all.Col0), float64(all.Row0))
}

// Of is where a window of the mosaic lies.
func (m *Mosaic) Of(w terrain.Window) terrain.Georeference {
	return m.Place.Moved(float64(w.Col0), float64(w.Row0))
}

// Touching lists the entries with cells in a window, in their order.
func (m *Mosaic) Touching(w terrain.Window) (out []int) {
	for i, at := range m.At {
		if !at.In(w).Empty() {
			out = append(out, i)
		}
	}
	return out
}

// southward turns the grid of an entry over whose rows run north, as [Open] does.
func (e *Entry) southward() {
	g := &e.Grid
	if g[1]*g[5]-g[2]*g[4] > 0 {
		rows := float64(e.Rows)
		g[0], g[2] = g[0]+rows*g[2], -g[2]
		g[3], g[5] = g[3]+rows*g[5], -g[5]
	}
}

// lay finds the cells of another entry on this one's grid, by what their headers say.
func (e *Entry) lay(o Entry) (terrain.Window, bool) {
	g, h := &e.Grid, &o.Grid
	cell := math.Hypot(g[1], g[4])
	for _, k := range []int{1, 2, 4, 5} {
		if math.Abs(g[k]-h[k])*float64(max(o.Cols, o.Rows)) > 1e-2*cell {
			return terrain.Window{}, false
		}
	}
	det := g[1]*g[5] - g[2]*g[4]
	dx, dy := h[0]-g[0], h[3]-g[3]
	c, r := (dx*g[5]-dy*g[2])/det, (dy*g[1]-dx*g[4])/det
	if math.Abs(c-math.Round(c)) > 1e-2 || math.Abs(r-math.Round(r)) > 1e-2 || math.Abs(c)+math.Abs(r) > math.MaxInt32 {
		return terrain.Window{}, false
	}
	return terrain.NewWindow(0, 0, o.Cols, o.Rows).Moved(int(math.Round(c)), int(math.Round(r))), true
}

// ReadCells reads a window of a mosaic, all of it, through a catalogue of its entries.
// Cells on no raster are void; where several have a height the first of its entries serves.
func (c *Catalogue) ReadCells(ctx context.Context, m *Mosaic, w terrain.Window) (*terrain.Elevation, error) {
	if m == nil || len(m.Entries) != len(m.At) || len(m.At) > len(c.entries) {
		return nil, errors.New("the mosaic is not one of this catalogue's entries; lay them out with Catalogue.Mosaics")
	}
	touching := m.Touching(w)
	if len(touching) == 0 {
		return nil, ErrOffRaster
	}
	rasters, err := c.open(ctx, touching)
	if err != nil {
		return nil, err
	}
	first := m.At[touching[0]]
	l := &layer{window: w.Moved(-first.Col0, -first.Row0), members: []member{{raster: rasters[0]}}, spare: c.spare}
	c.spare = nil
	for _, r := range rasters[1:] {
		if !l.add(r) {
			return nil, fmt.Errorf("%w: %s does not share the CRS and cells of %s; take those of one grid at a time", ErrGrids, r.Source.Path, rasters[0].Source.Path)
		}
	}
	j, err := startJoin(ctx, l, true)
	if err != nil {
		return nil, err
	}
	if j.canvas.grid.Z0 == noZ0 {
		j.canvas.grid.Z0 = 0
	}
	return j.finish(), nil
}

// GiveBack gives the memory of heights back that [Catalogue.ReadCells] read, for the next that it
// reads. Nobody may use the elevation any more.
func (c *Catalogue) GiveBack(e *terrain.Elevation) { c.spare, e.Grid.Z = e.Grid.Z, nil }
