package mapping

import (
	"context"
	"fmt"
	"runtime"
	"slices"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// mapping is a map in the making.
type mapping struct {
	*Ground
	o      Options
	report Progress

	// The fleet as the ground finds it, dry and wet, drawn inside its limits where the
	// options ask for that; fleet has the machines' own limits on the ground assumed.
	fleet, dry, wet zoning.Fleet

	oneByOne bool // searches: memory counts

	scale   scaled
	coarse  bool // on cells longer than a machine's way no way can be told from another
	worth   *resolution
	surePct []float64

	field *slope.Field
	cells *zoning.Cells
	firm  []zoning.Mask // nil where slope alone is asked

	looked   looked
	rims     rims
	drainage *flow.Drainage // nil where ways are not asked
	strips   strips
	water    []bool               // closed, as dead-flat water
	here     *trafficability.Work // nil where slope alone is asked
	other    *trafficability.Work // in the other state of the ground

	lots []zoning.LotMap
	errs []error // of each lot, why it cannot be cut
}

// check refuses a fleet and options that cannot be used.
func check(fleet zoning.Fleet, o Options) error {
	if err := fleet.Check(); err != nil {
		return err
	}
	if o.Loads != nil && len(o.Loads) != len(fleet) {
		return fmt.Errorf("there are %d Loads for %d machines; nil tells of none", len(o.Loads), len(fleet))
	}
	return o.Check()
}

// mapping begins a map.
func (g *Ground) mapping(fleet zoning.Fleet, o Options) (*mapping, error) {
	if err := check(fleet, o); err != nil {
		return nil, err
	}
	if err := g.check(); err != nil {
		return nil, err
	}
	if err := g.checkPosts(); err != nil {
		return nil, err
	}
	if o.Surveyed == "" {
		o.Surveyed = oldestSurvey(g.Elevation.Sources)
	}
	m := &mapping{Ground: g, o: o, report: o.Progress, strips: stripsOf(o), fleet: fleet, dry: fleet, wet: fleet.On(zoning.Wet)}
	if m.report == nil {
		m.report = g.Progress
	}
	if o.Ground == zoning.Wet {
		m.fleet = m.wet
	}
	cellM, grid := g.Elevation.Sources[0].CellM, g.Elevation.Grid
	var err error
	if m.scale, err = scaleFor(o.Scale, m.fleet, cellM); err != nil {
		return nil, err
	}
	if err := m.scale.quieten(grid); err != nil {
		return nil, err
	}
	m.lots, m.errs = make([]zoning.LotMap, len(m.Lots)), make([]error, len(m.Lots))
	m.oneByOne = grid.Cols*grid.Rows > atOnceCells
	m.coarse = max(cellM[0], cellM[1]) >= screeningM
	m.field = slope.NewField(grid)
	m.cells = &zoning.Cells{
		Window:    coverage.Window{Cols: grid.Cols, Rows: grid.Rows, Col0: grid.Col0, Row0: grid.Row0, Frame: grid.Frame},
		SimplifyM: o.SimplifyM, Added: trafficability.Reasons(o.Rules),
	}
	return m, nil
}

// drawn is the fleet that zones are drawn for.
func (m *mapping) drawn() zoning.Fleet {
	if m.o.Ground == zoning.Wet {
		return m.wet
	}
	return m.dry
}

// judge finds slopes and which machines they admit, and beside that what the heights
// tell of water, drainage and drop-offs.
func (m *mapping) judge(ctx context.Context) error {
	if m.o.Cautious || m.o.MarginPct > 0 { // the fleet is drawn by what the look tells
		if err := m.weigh(ctx); err != nil {
			return err
		}
	}
	waysAsked := !m.o.SlopeOnly && !m.coarse
	workers := runtime.GOMAXPROCS(0)
	if waysAsked {
		workers-- // drainage takes as long as all the rest
	}
	var draining beside.Group
	defer draining.Wait()
	var drainErr error
	draining.Go(func() {
		if _, drainErr = m.Ground.look(ctx); drainErr == nil && waysAsked {
			drainErr = m.drain(ctx)
		}
	})
	if err := m.findSlopes(ctx, workers); err != nil {
		return err
	}
	if waysAsked {
		var err error
		if m.rims, err = m.findRims(ctx); err != nil {
			return err
		}
	}
	if m.worth == nil {
		if err := m.weigh(ctx); err != nil {
			return err
		}
	}
	if !m.o.WaterIsGround {
		m.water = without(m.looked.water, m.Site.Dry)
	}
	m.scale.smoothed = nil // as large as the slopes, and not asked for again
	draining.Wait()
	return drainErr
}

// findSlopes finds slopes and which machines they admit, by some goroutines.
func (m *mapping) findSlopes(ctx context.Context, workers int) error {
	grid := m.Elevation.Grid
	masks := make([]zoning.Mask, grid.Cols*grid.Rows)
	judged := trafficability.Firm
	if m.o.SlopeOnly {
		judged, m.cells.Masks = trafficability.Stand, masks
	} else {
		m.firm = masks
		m.field.AddAspect()
	}
	drawn := m.drawn()
	quiet, err := m.scale.quiet(ctx, grid)
	if err != nil {
		return err
	}
	return inPartsBy(ctx, workers, m.report, "finding slope, rows", grid.Rows, stripRows(grid.Cols), func(r0, r1 int) error {
		strip := m.field.Part(r0, r1)
		if err := m.scale.slopes(quiet, r0, r1, strip); err != nil {
			return err
		}
		return judged(strip, drawn, masks[r0*grid.Cols:])
	})
}

// findWorkable finds where machines may work.
func (m *mapping) findWorkable(ctx context.Context) error {
	if len(m.o.Rules) > 0 || m.o.Cautious && m.worth.hides() { // rules may ask for it
		if err := m.boundSlopes(ctx); err != nil {
			return err
		}
	}
	if m.o.SlopeOnly {
		closeGround(either(either(m.water, m.work.Setback), m.Site.Closed), m.cells.Masks)
		if m.o.Cautious && m.worth.hides() {
			m.leaveDoubtful()
		}
		steepest, err := m.steepest(ctx)
		if err != nil {
			return err
		}
		m.cells.Sure = make([]zoning.Mask, len(m.cells.Masks))
		if !m.worth.coarse {
			if err := trafficability.Stand(steepest, m.fleet, m.cells.Sure); err != nil {
				return err
			}
		}
		return m.keepSure(ctx)
	}
	if m.o.Cautious && m.worth.hides() {
		m.o.Rules = append(slices.Clone(m.o.Rules), m.mayBeTooSteep())
		m.cells.Added = trafficability.Reasons(m.o.Rules)
	}
	if err := m.search(ctx); err != nil {
		return err
	}
	m.cells.Masks, m.cells.Lost, m.cells.Crossings, m.cells.Pieces = m.here.Masks, m.here.Why, m.here.Crossings, m.here.Pieces
	m.cells.Otherwise = m.other.Masks
	if err := m.keepSure(ctx); err != nil {
		return err
	}
	return m.checkStaging(ctx)
}

// cut cuts the lots.
func (m *mapping) cut(ctx context.Context) error {
	drawn := m.drawn()
	return inParts(ctx, m.report, "cutting lots", len(m.Lots), 1, func(i, _ int) error {
		lot := m.Lots[i]
		m.lots[i], m.errs[i] = zoning.MapLotContext(ctx, m.cells, m.field, drawn, m.surePct, lot.Parcel)
		m.lots[i].Notes, m.lots[i].Place = lot.Notes, lot.Place
		if m.EdgeAcres != nil {
			m.lots[i].EdgeAcres = m.EdgeAcres[i]
		}
		return nil // of one lot: told beside the others
	})
}
