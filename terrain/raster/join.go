package raster

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain"
)

// Elevation is the ground of one place, read from one raster or from several
// that lie on one grid.
type Elevation struct {
	Grid     *terrain.Grid
	Sources  []terrain.Source // those whose cells were read, in the order given
	Window   Window           // cells around the place, beyond the rasters too
	Warnings []string
}

// ErrOffRaster says that a place lies on none of the rasters.
var ErrOffRaster = errors.New("it does not lie on the elevation")

// ErrTooLarge says that a place covers more cells than are read at once.
var ErrTooLarge = errors.New("it covers too many cells to read at once")

// maxCells bounds the window of one reading: 2 GB of heights.
const maxCells = 1 << 29

// maxNodes bounds the lattice of one reading, each node of which takes five
// transforms: seconds, where a grid bends so much that every cell is a node.
const maxNodes = 1 << 21

// halo is how many cells are read around a place: one for the slope of its
// outermost cells, and some for the bulge of long edges.
const halo = 3

// Read reads the window around a place from rasters. Where they lie on several
// grids, the grid that covers most of the place is used, the finest of equals;
// rasters on other grids are left out with a warning. Rasters on one grid are
// joined, the first that has a height winning.
func Read(rasters []*Raster, ground orb.MultiPolygon) (*Elevation, error) {
	edges := along(ground)
	best, bestShare := -1, 0.0
	windows := make([]Window, len(rasters))
	for i, r := range rasters {
		w, err := r.around(edges)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
		}
		windows[i] = w
	}
	for i := range rasters {
		var parts []Window
		for _, m := range members(rasters, i) {
			parts = append(parts, m.raster.Extent().Moved(m.cols, m.rows))
		}
		share := coverage(windows[i].Grown(-halo), parts)
		share = math.Ceil(100*share) / 100 // a hundredth more does not outweigh a finer cell
		if share > bestShare || share == bestShare && best >= 0 && finer(rasters[i], rasters[best]) {
			best, bestShare = i, share
		}
	}
	if bestShare == 0 {
		return nil, ErrOffRaster
	}
	return read(rasters, best, windows)
}

// coverage is the share of a window's cells that lie in at least one of the
// parts. The window is cut into bands of rows at every part's edge; in a band,
// parts are stretches of columns.
func coverage(w Window, parts []Window) float64 {
	cuts := []int{w.Row0, w.Row1}
	for _, p := range parts {
		cuts = append(cuts, min(max(p.Row0, w.Row0), w.Row1), min(max(p.Row1, w.Row0), w.Row1))
	}
	slices.Sort(cuts)
	slices.SortFunc(parts, func(a, b Window) int { return cmp.Compare(a.Col0, b.Col0) })
	cells := 0.0
	for i := 1; i < len(cuts); i++ {
		band := Window{w.Col0, cuts[i-1], w.Col1, cuts[i]}
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

func finer(a, b *Raster) bool {
	return a.Source.CellM[0]*a.Source.CellM[1] < 0.999*b.Source.CellM[0]*b.Source.CellM[1]
}

func read(rasters []*Raster, base int, windows []Window) (*Elevation, error) {
	r, w := rasters[base], windows[base]
	cells := float64(w.Cols()) * float64(w.Rows())
	if cells > maxCells || cells > maxNodes*float64(r.step)*float64(r.step) {
		return nil, fmt.Errorf("%w: %d × %d cells of %s", ErrTooLarge, w.Cols(), w.Rows(), r.Source.Path)
	}
	frame, err := terrain.NewFrame(r.step, w.Col0, w.Row0, w.Col1, w.Row1, r.Locate)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", r.Source.Path, err)
	}
	e := &Elevation{Window: w}
	cover := Window{math.MaxInt, math.MaxInt, math.MinInt, math.MinInt}
	on := members(rasters, base)
	on = slices.DeleteFunc(on, func(m member) bool { return w.In(m.raster.Extent().Moved(m.cols, m.rows)).Empty() })
	for _, m := range on {
		p := w.In(m.raster.Extent().Moved(m.cols, m.rows))
		cover = Window{min(cover.Col0, p.Col0), min(cover.Row0, p.Row0), max(cover.Col1, p.Col1), max(cover.Row1, p.Row1)}
	}
	e.Grid = newGrid(cover, frame)
	for _, m := range on {
		before := m.raster.notGround
		if err := m.raster.fill(e.Grid, m.cols, m.rows); err != nil {
			return nil, err
		}
		if n := m.raster.notGround - before; n > 0 {
			e.Warnings = append(e.Warnings, fmt.Sprintf("%s: %d cells hold heights below %d m or above %d m, which no ground has; they are mapped as no elevation data. "+
				"Is the unit right (--elevation-unit), or is a no-data value not declared?", m.raster.Source.Path, n, lowestGround, highestGround))
		}
		e.Sources = append(e.Sources, m.raster.Source)
	}
	if e.Grid.Z0 == noZ0 {
		e.Grid.Z0 = 0
	}
	for i, o := range rasters {
		if !slices.ContainsFunc(on, func(m member) bool { return m.raster == o }) && !windows[i].In(o.Extent()).Empty() {
			e.Warnings = append(e.Warnings, fmt.Sprintf("%s was left out: its cells do not lie on the grid of %s", o.Source.Path, r.Source.Path))
		}
	}
	return e, nil
}

// member is a raster on a grid, its first cell at (cols, rows) of that grid.
type member struct {
	raster     *Raster
	cols, rows int
}

// members lists the rasters that lie on the grid of one of them: the same CRS,
// cells of the same size and turn, whole cells apart.
func members(rasters []*Raster, base int) []member {
	b := rasters[base]
	var out []member
	for _, r := range rasters {
		if r == b {
			out = append(out, member{r, 0, 0})
			continue
		}
		cols, rows, ok := b.offset(r)
		if ok {
			out = append(out, member{r, cols, rows})
		}
	}
	return out
}

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

// along lists points along the edges of a place, which are straight in
// longitude and latitude and so bend on most grids.
func along(ground orb.MultiPolygon) [][2]float64 {
	const pieces = 8
	var out [][2]float64
	for _, poly := range ground {
		for _, ring := range poly {
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				for k := range pieces {
					t := float64(k) / pieces
					out = append(out, [2]float64{a[0] + t*(b[0]-a[0]), a[1] + t*(b[1]-a[1])})
				}
			}
		}
	}
	return out
}

// around is the window of the cells around points, with the halo; empty where
// the CRS places none of them.
func (r *Raster) around(lonLat [][2]float64) (Window, error) {
	cells, err := r.Cells(lonLat)
	if err != nil {
		return Window{}, err
	}
	c0, r0, c1, r1 := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, c := range cells {
		if c[0] == c[0] && c[1] == c[1] {
			c0, r0, c1, r1 = min(c0, c[0]), min(r0, c[1]), max(c1, c[0]), max(r1, c[1])
		}
	}
	const most = math.MaxInt32
	if !(c0 <= c1 && r0 <= r1 && c0 > -most && r0 > -most && c1 < most && r1 < most) {
		return Window{}, nil
	}
	return Window{int(math.Floor(c0)) - halo, int(math.Floor(r0)) - halo, int(math.Ceil(c1)) + halo, int(math.Ceil(r1)) + halo}, nil
}

// Touches tells whether any of a place's surroundings lie on the raster.
func (r *Raster) Touches(ground orb.MultiPolygon) (bool, error) {
	w, err := r.around(along(ground))
	if err != nil {
		return false, err
	}
	return !w.Grown(-halo).In(r.Extent()).Empty(), nil
}

// Middle is the longitude and latitude of the raster's middle.
func (r *Raster) Middle() orb.Point {
	p, err := r.Locate([][2]float64{{float64(r.Source.Cols) / 2, float64(r.Source.Rows) / 2}})
	if err != nil {
		return orb.Point{math.NaN(), math.NaN()}
	}
	return orb.Point{math.Remainder(p[0][0], 360), p[0][1]}
}

// DistanceKM is how far a spot lies from the raster's edge, in kilometres on a
// sphere; 0 on the raster.
func (r *Raster) DistanceKM(spot orb.Point) float64 {
	if at, err := r.Cells([][2]float64{spot}); err == nil && r.holds(at[0]) {
		return 0
	}
	const pieces = 32
	c, w := float64(r.Source.Cols), float64(r.Source.Rows)
	var rim [][2]float64
	for i := range pieces {
		t := float64(i) / pieces
		rim = append(rim, [2]float64{t * c, 0}, [2]float64{c, t * w}, [2]float64{c - t*c, w}, [2]float64{0, w - t*w})
	}
	places, err := r.Locate(rim)
	if err != nil {
		return math.Inf(1)
	}
	least := math.Inf(1)
	for _, p := range places {
		if km := geo.DistanceHaversine(spot, p) / 1000; km < least {
			least = km
		}
	}
	return least
}

func (r *Raster) holds(cell [2]float64) bool {
	return cell[0] >= 0 && cell[1] >= 0 && cell[0] <= float64(r.Source.Cols) && cell[1] <= float64(r.Source.Rows)
}
