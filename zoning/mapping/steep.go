package mapping

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

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
	proposedStrip
)

// leastSteepM2 is the smallest steep ground that is told of: a twentieth of an acre.
const leastSteepM2 = terrain.SquareMetresPerAcre / 20

// leastStripAcres is the smallest piece of a proposed strip that is drawn.
const leastStripAcres = 0.01

// steep draws the ground beside zones from which material rolls onto them, to which
// it rolls, whose heights are not known, and in which water stands.
func (t *teller) steep(d *flow.Drainage) {
	grid := t.Elevation.Grid
	marks := &zoning.Cells{Window: coverage.Window{Masks: make([]zoning.Mask, len(t.w.Masks)), Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame, Watch: t.watch}}
	cellM2 := grid.Frame.MetricAt(float64(grid.Col0)+float64(grid.Cols)/2, float64(grid.Row0)+float64(grid.Rows)/2).CellAreaM2()
	squared := t.m.Field.Squared
	cells := func(in func(i int) bool) cellsIn { return cellsIn{grid.Cols, grid.Rows, in, t.watch} }
	mark := func(p piece, as zoning.Mask) {
		p.each(func(i int) { marks.Masks[i] |= as })
	}
	steep := cells(func(i int) bool { return squared[i] >= steepSquared })
	steep.pieces(func(p piece) {
		if float64(p.cells())*cellM2 < leastSteepM2 {
			return
		}
		var as zoning.Mask
		steep.rim(p, func(from, to int) {
			if t.worked(to) {
				if z := grid.Z[from/grid.Cols*grid.Stride+from%grid.Cols]; z > grid.Z[to/grid.Cols*grid.Stride+to%grid.Cols] {
					as |= steepAbove
				} else {
					as |= steepBelow
				}
			}
		})
		mark(p, as)
	})
	unknownBand := t.m.Fleet.UnknownBand()
	unknown := cells(func(i int) bool { return t.band(i) == unknownBand })
	unknown.pieces(func(p piece) {
		beside := false
		unknown.rim(p, func(_, to int) { beside = beside || t.worked(to) })
		if beside {
			mark(p, noElevation)
		}
	})
	runs.Join(grid.Cols, grid.Rows, false, runs.Rows(d.InHollow, grid.Cols)).Each(func(p []runs.Run) {
		if piece(p).any(t.worked) {
			mark(p, hollow)
		}
	})
	if !t.applied {
		piece(t.in).each(func(i int) {
			if t.worked(i) {
				marks.Masks[i] |= proposedStrip
			}
		})
	}
	t.outline(marks)
}

// outline draws the marked ground.
func (t *teller) outline(marks *zoning.Cells) {
	if !slices.ContainsFunc(marks.Masks, func(m zoning.Mask) bool { return m != 0 }) {
		return
	}
	cov, err := coverage.Cut(&marks.Window, orb.MultiPolygon{t.windowRing()})
	if err != nil {
		t.warn("hazards are not drawn: %v", err)
		return
	}
	for _, h := range []struct {
		mark  zoning.Mask
		kind  zoning.HazardKind
		words string
	}{
		{steepAbove, zoning.SteepAbove, "ground of 50%% or more right above a zone, %s: material rolls down onto it"},
		{steepBelow, zoning.SteepBelow, "ground of 50%% or more right below a zone, %s: what goes over the edge does not stop"},
		{noElevation, zoning.NoElevation, "no elevation data beside a zone, %s: nobody knows what is there"},
		{hollow, zoning.Depression, "low spot that water does not run out of, %s: soft or under water after rain"},
		{proposedStrip, zoning.ProposedStrip, "strip along a drainage line, proposed by " + proposedRule + " and not applied: %s of machines' ground"},
	} {
		ground := cov.Polygons(1, func(m zoning.Mask) int {
			if m&zoning.Unknown == 0 && m&h.mark != 0 {
				return 0
			}
			return -1
		})[0]
		for _, poly := range ground {
			acres := coverage.Acres(orb.MultiPolygon{poly})
			if h.mark == proposedStrip && acres < leastStripAcres {
				continue
			}
			t.add(h.kind, poly, h.words, areaText(t.m, acres, 2))
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
