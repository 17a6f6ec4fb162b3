package mapping

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/trafficability"
)

// tell puts into words and shapes what was found on the way to the zones: how machines
// get there, and what people must know of.
func (g *Ground) tell(m *zoning.ZoneMap, w *trafficability.Work, d *flow.Drainage, r rims, s strips, watch *beside.Watch) error {
	t := &teller{Ground: g, m: m, w: w, rims: r, strips: s, watch: watch}
	for _, f := range g.Features {
		if f.Kind == site.Staging {
			m.Access.Staging = append(m.Access.Staging, f.Geometry.Bound().Center())
		}
	}
	if d == nil {
		return t.features()
	}
	t.access()
	if err := t.dropOffs(); err != nil {
		return err
	}
	t.steep(d)
	t.pinches()
	t.waterLines(d)
	return t.features()
}

// teller gathers what a map tells beside its zones.
type teller struct {
	*Ground
	m    *zoning.ZoneMap
	w    *trafficability.Work
	rims rims
	strips
	watch *beside.Watch
}

// band is that of a cell.
func (t *teller) band(i int) int { return t.m.Fleet.Band(t.w.Masks[i]) }

// worked reports whether a cell of a lot goes to a machine.
func (t *teller) worked(i int) bool { return t.work.Lots[i] && t.m.Fleet.IsMachine(t.band(i)) }

func (t *teller) add(kind zoning.HazardKind, shape orb.Geometry, words string, args ...any) {
	t.m.Hazards = append(t.m.Hazards, zoning.Hazard{Kind: kind, Geometry: shape, Words: fmt.Sprintf(words, args...)})
}

// at is the middle of a cell.
func (g *Ground) at(cell int) orb.Point {
	grid := g.Elevation.Grid
	return g.place(float64(grid.Col0+cell%grid.Cols)+0.5, float64(grid.Row0+cell/grid.Cols)+0.5)
}

func (g *Ground) place(col, row float64) orb.Point {
	lon, lat := g.Elevation.Grid.Frame.LonLat(col, row)
	return orb.Point{math.Round((lon-360*math.Round(lon/360))*1e9) / 1e9, math.Round(lat*1e9) / 1e9}
}

// dropOffs draws the upper edges of drops that lie in the lots, or within a machine's
// length of them.
func (t *teller) dropOffs() error {
	t.watch.Did(len(t.w.Masks))
	near, err := trafficability.Near(t.Elevation.Grid, t.work.Lots, zoning.DefaultFootprintM)
	if err != nil {
		return err
	}
	drops := map[int]trafficability.Edge{}
	var cells []int
	for _, e := range t.rims.drops {
		if near[e.Cell] {
			drops[e.Cell] = e
			cells = append(cells, e.Cell)
		}
	}
	for _, chain := range chains(cells, t.Elevation.Grid.Cols, t.watch) {
		var most trafficability.Edge
		for _, i := range chain {
			if drops[i].DropM > most.DropM {
				most = drops[i]
			}
		}
		if len(chain) < leastEdgeCells && most.DropM < leastShortDropM {
			continue
		}
		t.add(zoning.DropOff, t.lineOf(chain), "drop-off, up to %s%s", t.m.Units.Length(most.DropM), rangeOf(t.m.Units, most.LowM, most.HighM))
	}
	t.hiddenBanks(near)
	return nil
}

// lineOf is the line through the middles of cells, or the one spot.
func (t *teller) lineOf(chain []int) orb.Geometry {
	var line orb.LineString
	for _, i := range chain {
		line = append(line, t.at(i))
	}
	if len(line) == 1 {
		return line[0]
	}
	return line
}

// A drop shorter than leastEdgeCells cells is told of from leastShortDropM on only: real
// ground of a meter a cell is full of lesser ones, which machines are kept from all the
// same (planning values, no source).
const (
	leastEdgeCells  = 3
	leastShortDropM = 6 * zoning.MetresPerFoot
)

// gapCells is over how many cells the line of an edge goes on: between them the fall is
// a little less than a drop-off's.
const gapCells = 3

// steps lists the ways from a cell to those up to gapCells away, the nearest first.
var steps = func() (out [][2]int) {
	for dr := -gapCells; dr <= gapCells; dr++ {
		for dc := -gapCells; dc <= gapCells; dc++ {
			if dc != 0 || dr != 0 {
				out = append(out, [2]int{dc, dr})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b [2]int) int { return cmp.Compare(a[0]*a[0]+a[1]*a[1], b[0]*b[0]+b[1]*b[1]) })
	return out
}()

// chains strings cells together, from each to the nearest that is left, each cell once,
// in a fixed order.
func chains(cells []int, cols int, watch *beside.Watch) [][]int {
	left := make(map[int]bool, len(cells))
	for _, i := range cells {
		left[i] = true
	}
	next := func(i int) int {
		watch.Did(len(steps))
		for _, d := range steps {
			if c := i%cols + d[0]; c < 0 || c >= cols {
				continue
			}
			if j := i + d[1]*cols + d[0]; left[j] {
				return j
			}
		}
		return -1
	}
	var out [][]int
	for _, first := range cells {
		if !left[first] {
			continue
		}
		delete(left, first)
		chain := []int{first}
		for range 2 { // on from one end, then from the other
			for j := next(chain[len(chain)-1]); j >= 0; j = next(j) {
				delete(left, j)
				chain = append(chain, j)
			}
			slices.Reverse(chain)
		}
		out = append(out, chain)
	}
	return out
}

// pinches marks the tight spots of the ways in, each once, for the machine that has
// least to spare.
func (t *teller) pinches() {
	for k, list := range t.w.Pinches {
		m := t.m.Fleet[k]
		for _, p := range list {
			t.m.Hazards = append(t.m.Hazards, zoning.Hazard{
				Kind: zoning.PinchPoint, Geometry: t.at(p.Cell), Machine: m.Key,
				Words: fmt.Sprintf("pinch point on the access route of the %s: about %s wide, %s beyond", lower(m.Name), t.m.Units.Length(2*p.ClearM), areaText(t.m, p.Acres, 1)),
			})
		}
	}
}

func lower(name string) string {
	if len(name) > 1 && name[1] >= 'a' && name[1] <= 'z' {
		return string(name[0]|0x20) + name[1:]
	}
	return name
}

// waterLines draws the drainage lines that come through a lot or through ground to be
// crossed.
func (t *teller) waterLines(d *flow.Drainage) {
	grid := t.Elevation.Grid
	for _, l := range d.Lines {
		t.watch.Did(len(l.Path))
		var line orb.LineString
		on := false
		for _, p := range l.Path {
			line = append(line, t.place(p[0], p[1]))
			i := (int(p[1])-grid.Row0)*grid.Cols + int(p[0]) - grid.Col0
			on = on || t.work.Drive[i]
		}
		// Shorter than a machine they are what is left at the shore of standing water.
		if on && geo.Length(line) >= zoning.DefaultFootprintM {
			t.add(zoning.Drainage, line, "drainage line: at least %s drain through its lower end", areaText(t.m, l.MouthM2/terrain.SquareMetresPerAcre, 1))
		}
	}
}
