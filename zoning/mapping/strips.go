package mapping

import (
	"context"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/runs"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
)

const (
	// proposedRule is the published strip that is proposed along drainage where none is
	// chosen: see [site.Rules] for its source.
	proposedRule = "filter-strip"
	// stripFlowM2 is the ground that drains through a line along which one is proposed: 3
	// acres, at which most draws hold water after rain (planning value, no source).
	stripFlowM2 = 3 * terrain.SquareMetresPerAcre
)

// strips are the ground within a setback of the drainage lines with enough flow.
type strips struct {
	setback string // as written: a rule's key, or a width
	applied bool   // else it is proposed
	in      []runs.Run
}

// stripsOf are the strips that the options choose, or else the proposed ones, before they are laid.
func stripsOf(o Options) strips {
	if o.DrainageSetback == "" {
		return strips{setback: proposedRule}
	}
	return strips{setback: o.DrainageSetback, applied: true}
}

// drain finds where water runs, and lays the strips along it.
func (m *mapping) drain(ctx context.Context) (err error) {
	if m.drainage, err = m.Ground.drain(ctx); err != nil {
		return err
	}
	setback, err := site.ParseSetback(m.strips.setback)
	if err != nil {
		return err
	}
	grid := m.Elevation.Grid
	height := func(i int) float64 { return float64(grid.Z[i/grid.Cols*grid.Stride+i%grid.Cols]) }
	lines, metres := m.drainage.NearestLine(grid, stripFlowM2)
	m.strips.in = runs.Of(grid.Cols, grid.Rows, func(i int) bool {
		if lines[i] < 0 || !m.work.Drive[i] { // no line anywhere, or of no use
			return false
		}
		slope := 0.0
		if metres[i] > 0 {
			slope = math.Abs(height(i)-height(int(lines[i]))) / float64(metres[i])
		}
		return setback.Holds(float64(metres[i]), slope)
	})
	return nil
}

// tellStrips says which strips are applied, or what those that are proposed would take of
// the ground that machines may work.
func (m *mapping) tellStrips(out *zoning.ZoneMap) {
	along := fmt.Sprintf("along drainage lines with %.3g %s of flow or more, %s", out.Units.Area(stripFlowM2/terrain.SquareMetresPerAcre), out.Units.Areas(), m.strips.setback)
	switch {
	case m.strips.applied && m.drainage == nil:
		out.Warnings = append(out.Warnings, fmt.Sprintf("strips %s, are not applied: drainage is looked for neither by slope alone nor on cells of %d m and more", along, screeningM))
	case m.strips.applied:
		out.DrainageSetback = m.strips.setback
		out.Assumed = append(out.Assumed, fmt.Sprintf("strips %s, are kept out of: the setback of the job", along))
	default:
		if acres := m.stripAcres(); acres > 0 {
			out.Assumed = append(out.Assumed, fmt.Sprintf("no setback from drainage is chosen: strips %s, would take %s of machines' ground; they are proposed, not applied (setback: %s for the job applies them)", along, areaText(out, acres, 2), proposedRule))
		}
	}
}

// stripAcres are the acres of the lots within the strips that some machine may work.
func (m *mapping) stripAcres() (acres float64) {
	if len(m.strips.in) == 0 {
		return 0
	}
	grid := m.Elevation.Grid
	marks := &coverage.Window{Masks: make([]zoning.Mask, grid.Cols*grid.Rows), Cols: grid.Cols, Rows: grid.Rows}
	piece(m.strips.in).each(func(i int) {
		if m.fleet.IsMachine(m.fleet.Band(m.cells.Masks[i])) {
			marks.Masks[i] = 1
		}
	})
	for n, lot := range m.lots {
		if m.errs[n] == nil {
			acres += lot.Coverage.AcresBySet(marks, 1, func(mask zoning.Mask) uint64 {
				if mask == 1 { // not where nothing is known
					return 1
				}
				return 0
			})[0]
		}
	}
	return acres
}
