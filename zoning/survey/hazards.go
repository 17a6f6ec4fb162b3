package survey

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"

	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
	"github.com/acreband/acreband/zoning/work"
)

// tell puts into words and shapes what was found on the way to the zones: how machines
// get there, and what people must know of.
func (g *Ground) tell(m *zoning.ZoneMap, w *work.Work, d *flow.Drainage) {
	t := &teller{Ground: g, m: m, w: w, bands: cellBands(w.Masks, len(m.Fleet))}
	for _, f := range g.Features {
		if f.Kind == site.Staging {
			m.Access.Staging = append(m.Access.Staging, f.Geometry.Bound().Center())
		}
	}
	if d == nil {
		t.features()
		return
	}
	t.access()
	t.dropOffs()
	t.steep(d)
	t.pinches()
	t.waterLines(d)
	t.features()
}

// teller gathers what a map tells beside its zones.
type teller struct {
	*Ground
	m     *zoning.ZoneMap
	w     *work.Work
	bands []uint8 // of each cell
}

func cellBands(masks []zoning.Mask, machines int) []uint8 {
	bands := make([]uint8, len(masks))
	for i, mask := range masks {
		bands[i] = uint8(zoning.BandOf(mask, machines))
	}
	return bands
}

// worked tells whether a cell of a lot goes to a machine.
func (t *teller) worked(i int) bool { return t.work.Lots[i] && int(t.bands[i]) < len(t.m.Fleet) }

func (t *teller) add(kind zoning.HazardKind, shape orb.Geometry, words string, args ...any) {
	t.m.Hazards = append(t.m.Hazards, zoning.Hazard{Kind: kind, Geometry: shape, Words: fmt.Sprintf(words, args...)})
}

// at is the middle of a cell.
func (t *teller) at(cell int) orb.Point {
	grid := t.Elevation.Grid
	return t.place(float64(grid.Col0+cell%grid.Cols)+0.5, float64(grid.Row0+cell/grid.Cols)+0.5)
}

func (t *teller) place(col, row float64) orb.Point {
	lon, lat := t.Elevation.Grid.Frame.LonLat(col, row)
	return orb.Point{math.Round((lon-360*math.Round(lon/360))*1e9) / 1e9, math.Round(lat*1e9) / 1e9}
}

// dropOffs draws the upper edges of drops that lie in the lots, or within a machine's
// length of them.
func (t *teller) dropOffs() {
	near := t.nearLots()
	drops := map[int]float64{}
	var cells []int
	for _, e := range t.seen.drops {
		if near[e.Cell] {
			drops[e.Cell] = e.DropM
			cells = append(cells, e.Cell)
		}
	}
	for _, chain := range chains(cells, t.Elevation.Grid.Cols) {
		var most float64
		var line orb.LineString
		for _, i := range chain {
			most = max(most, drops[i])
			line = append(line, t.at(i))
		}
		var shape orb.Geometry = line
		if len(line) == 1 {
			shape = line[0]
		}
		t.add(zoning.DropOff, shape, "drop-off, up to %s", feet(most))
	}
}

// nearLots marks the cells of lots and those within a machine's length of them.
func (t *teller) nearLots() []bool {
	return work.Near(t.Elevation.Grid, t.work.Lots, zoning.DefaultFootprintM)
}

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
func chains(cells []int, cols int) [][]int {
	left := make(map[int]bool, len(cells))
	for _, i := range cells {
		left[i] = true
	}
	next := func(i int) int {
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

func feet(m float64) string { return fmt.Sprintf("%.0f ft", m/zoning.MetresPerFoot) }

// pinches marks the tight spots of the ways in, each once, for the machine that has
// least to spare.
func (t *teller) pinches() {
	for k, list := range t.w.Pinches {
		m := t.m.Fleet[k]
		for _, p := range list {
			t.m.Hazards = append(t.m.Hazards, zoning.Hazard{
				Kind: zoning.PinchPoint, Geometry: t.at(p.Cell), Machine: m.Key,
				Words: fmt.Sprintf("tight spot on the way of the %s: about %s wide, %.1f acres beyond", lower(m.Name), feet(2*p.ClearM), p.Acres),
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
		var line orb.LineString
		on := false
		for _, p := range l.Path {
			line = append(line, t.place(p[0], p[1]))
			i := (int(p[1])-grid.Row0)*grid.Cols + int(p[0]) - grid.Col0
			on = on || t.work.Drive[i]
		}
		// Shorter than a machine they are what is left at the shore of standing water.
		if on && geo.Length(line) >= zoning.DefaultFootprintM {
			t.add(zoning.WaterLine, line, "drainage line: at least %.1f acres drain through its lower end", l.MouthM2/zoning.SquareMetresPerAcre)
		}
	}
}

// features tells of people, and of lines overhead, near the zones.
func (t *teller) features() {
	for _, f := range t.Features {
		name := cmp.Or(f.Name, string(f.Kind))
		switch f.Kind {
		case site.Building, site.Road, site.Path:
			if words := t.nearby(f, func(m zoning.Machine) float64 { return cmp.Or(m.ThrownM, zoning.DefaultThrownM) }); words != "" {
				t.add(zoning.PeopleNear, f.Geometry, "%s (%s): %s lie within the thrown-object distance of it", name, f.Kind, words)
			}
		case site.OverheadLine:
			clear := max(site.ClearanceM(f.KV), f.Setback.WidthM)
			if words := t.nearby(f, func(m zoning.Machine) float64 { return clear + m.ReachM }); words != "" {
				t.add(zoning.LineNear, f.Geometry, "%s: keep %s clear; %s lie within that distance of it, a boom's reach added", name, feet(clear), words)
			} else {
				t.add(zoning.LineNear, f.Geometry, "%s: keep %s clear", name, feet(clear))
			}
		}
	}
}

// nearby sums the acres of each machine's zones that lie within a distance of a feature.
func (t *teller) nearby(f site.Feature, metres func(zoning.Machine) float64) string {
	var most float64
	for _, m := range t.m.Fleet {
		most = max(most, metres(m))
	}
	grid := t.Elevation.Grid
	acres := make([]float64, len(t.m.Fleet))
	site.Near(grid, f.Geometry, most, func(i int, distM float64) {
		if k := int(t.bands[i]); t.worked(i) && distM <= metres(t.m.Fleet[k]) {
			acres[k] += grid.Frame.MetricAt(float64(grid.Col0+i%grid.Cols)+0.5, float64(grid.Row0+i/grid.Cols)+0.5).CellAreaM2() / zoning.SquareMetresPerAcre
		}
	})
	var words []string
	for k, a := range acres {
		if a >= 0.005 {
			words = append(words, fmt.Sprintf("%.2f acres of the %s's", a, lower(t.m.Fleet[k].Name)))
		}
	}
	if words == nil {
		return ""
	}
	return list(words)
}

// steepPct is ground from which material rolls: 50% (planning value; California 14
// CCR 914.2(f) bars heavy equipment above it where erosion hazard is high).
const steepPct = 50

var steepSquared = float32((steepPct / 100.0) * (steepPct / 100.0))

// Marks of ground that is drawn as a hazard, bits of a mask.
const (
	steepAbove zoning.Mask = 1 << iota
	steepBelow
	noElevation
	hollow
)

// leastSteepM2 is the smallest steep ground that is told of: a twentieth of an acre.
const leastSteepM2 = zoning.SquareMetresPerAcre / 20

// steep draws the ground beside zones from which material rolls onto them, to which
// it rolls, whose heights are not known, and in which water stands.
func (t *teller) steep(d *flow.Drainage) {
	grid := t.Elevation.Grid
	marks := &zoning.Cells{Masks: make([]zoning.Mask, len(t.bands)), Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame}
	cellM2 := grid.Frame.MetricAt(float64(grid.Col0)+float64(grid.Cols)/2, float64(grid.Row0)+float64(grid.Rows)/2).CellAreaM2()
	squared := t.m.Field.Squared
	isSteep := func(i int) bool { return squared[i] >= steepSquared }
	t.pieces(isSteep, func(piece []int) {
		if float64(len(piece))*cellM2 < leastSteepM2 {
			return
		}
		var mark zoning.Mask
		t.eachRim(piece, isSteep, func(from, to int) {
			if t.worked(to) {
				if z := grid.Z[from/grid.Cols*grid.Stride+from%grid.Cols]; z > grid.Z[to/grid.Cols*grid.Stride+to%grid.Cols] {
					mark |= steepAbove
				} else {
					mark |= steepBelow
				}
			}
		})
		for _, i := range piece {
			marks.Masks[i] |= mark
		}
	})
	unknown := uint8(zoning.BandOf(zoning.Unknown, len(t.m.Fleet)))
	isUnknown := func(i int) bool { return t.bands[i] == unknown }
	t.pieces(isUnknown, func(piece []int) {
		beside := false
		t.eachRim(piece, isUnknown, func(_, to int) { beside = beside || t.worked(to) })
		if beside {
			for _, i := range piece {
				marks.Masks[i] |= noElevation
			}
		}
	})
	isHollow := func(i int) bool { return d.InHollow[i] }
	t.pieces(isHollow, func(piece []int) {
		if !slices.ContainsFunc(piece, t.worked) {
			return
		}
		for _, i := range piece {
			marks.Masks[i] |= hollow
		}
	})
	t.outline(marks)
}

// outline draws the marked ground.
func (t *teller) outline(marks *zoning.Cells) {
	if !slices.ContainsFunc(marks.Masks, func(m zoning.Mask) bool { return m != 0 }) {
		return
	}
	cov, err := zoning.Cut(marks, zoning.Parcel{Ground: orb.MultiPolygon{t.windowRing()}})
	if err != nil {
		t.warn("hazards are not drawn: %v", err)
		return
	}
	for _, h := range []struct {
		mark  zoning.Mask
		kind  zoning.HazardKind
		words string
	}{
		{steepAbove, zoning.SteepAbove, "ground of 50%% or more right above a zone, %.2f acres: material rolls down onto it"},
		{steepBelow, zoning.SteepBelow, "ground of 50%% or more right below a zone, %.2f acres: what goes over the edge does not stop"},
		{noElevation, zoning.NoElevation, "no elevation data beside a zone, %.2f acres: nobody knows what is there"},
		{hollow, zoning.Hollow, "hollow that water does not run out of, %.2f acres: soft or under water after rain"},
	} {
		ground := cov.Polygons(1, func(m zoning.Mask) int {
			if m&zoning.Unknown == 0 && m&h.mark != 0 {
				return 0
			}
			return -1
		})[0]
		for _, poly := range ground {
			t.add(h.kind, poly, h.words, zoning.Acres(orb.MultiPolygon{poly}))
		}
	}
}

// windowRing goes round the cells that were read, half a cell inside them.
func (t *teller) windowRing() orb.Polygon {
	g := t.Elevation.Grid
	const step = 32
	var ring orb.Ring
	side := func(c0, r0, c1, r1 float64) {
		n := math.Ceil(math.Max(math.Abs(c1-c0), math.Abs(r1-r0)) / step)
		for i := 0.0; i < n; i++ {
			ring = append(ring, t.place(float64(g.Col0)+c0+(c1-c0)*i/n, float64(g.Row0)+r0+(r1-r0)*i/n))
		}
	}
	w, s, e, n := 0.5, float64(g.Rows)-0.5, float64(g.Cols)-0.5, 0.5
	side(w, s, e, s)
	side(e, s, e, n)
	side(e, n, w, n)
	side(w, n, w, s)
	return orb.Polygon{append(ring, ring[0])}
}

// pieces finds the connected pieces of cells that are in.
func (t *teller) pieces(in func(i int) bool, visit func(piece []int)) {
	seen := make([]bool, len(t.bands))
	for i := range t.bands {
		if seen[i] || !in(i) {
			continue
		}
		seen[i] = true
		piece := []int{i}
		for n := 0; n < len(piece); n++ {
			t.eachBeside(piece[n], func(j int) {
				if !seen[j] && in(j) {
					seen[j] = true
					piece = append(piece, j)
				}
			})
		}
		visit(piece)
	}
}

// eachRim visits the steps from a piece of the cells that are in to those around it.
func (t *teller) eachRim(piece []int, in func(i int) bool, visit func(from, to int)) {
	for _, i := range piece {
		t.eachBeside(i, func(j int) {
			if !in(j) {
				visit(i, j)
			}
		})
	}
}

func (t *teller) eachBeside(i int, visit func(j int)) {
	grid := t.Elevation.Grid
	c, r := i%grid.Cols, i/grid.Cols
	if c > 0 {
		visit(i - 1)
	}
	if c < grid.Cols-1 {
		visit(i + 1)
	}
	if r > 0 {
		visit(i - grid.Cols)
	}
	if r < grid.Rows-1 {
		visit(i + grid.Cols)
	}
}
