package mapping

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/terrain/quality"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/site"
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

	scale   scaled
	coarse  bool // on cells longer than a machine's way no way can be told from another
	worth   *resolution
	surePct []float64

	field *slope.Field
	cells *zoning.Cells
	firm  []zoning.Mask // nil where slope alone is asked

	look     *quality.Look
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
	m := &mapping{Ground: g, o: o, report: o.Progress, fleet: fleet, dry: fleet, wet: fleet.On(zoning.Wet)}
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
	var looking beside.Group
	defer looking.Wait()
	var look *quality.Look
	var lookErr error
	if m.o.Cautious || m.o.MarginPct > 0 { // the fleet is drawn by what the look tells
		if look, lookErr = m.Ground.look(ctx); lookErr != nil {
			return lookErr
		}
		if err := m.weigh(ctx, look); err != nil {
			return err
		}
	}
	looking.Go(func() {
		if look, lookErr = m.Ground.look(ctx); lookErr == nil && !m.o.SlopeOnly && !m.coarse {
			m.drainage, lookErr = m.drain(ctx)
		}
	})
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
	err = inParts(ctx, m.report, "finding slope, rows", grid.Rows, stripRows(grid.Cols), func(r0, r1 int) error {
		strip := m.field.Part(r0, r1)
		if err := m.scale.slopes(quiet, r0, r1, strip); err != nil {
			return err
		}
		return judged(strip, drawn, masks[r0*grid.Cols:])
	})
	looking.Wait()
	if err := cmp.Or(err, lookErr); err != nil {
		return err
	}
	if m.worth == nil {
		if err := m.weigh(ctx, look); err != nil {
			return err
		}
	}
	if !m.o.WaterIsGround {
		m.water = without(m.seen.water, m.Site.Dry)
	}
	m.scale.smoothed = nil // as large as the slopes, and not asked for again
	return nil
}

// findWorkable finds where machines may work.
func (m *mapping) findWorkable(ctx context.Context) (err error) {
	if err := m.findStrips(); err != nil {
		return err
	}
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
		return m.findSure(ctx)
	}
	if m.o.Cautious && m.worth.hides() {
		m.o.Rules = append(slices.Clone(m.o.Rules), m.mayBeTooSteep())
		m.cells.Added = trafficability.Reasons(m.o.Rules)
	}
	m.here, m.other, err = m.workable(ctx)
	if err != nil {
		return err
	}
	m.cells.Masks, m.cells.Lost, m.cells.Crossings, m.cells.Pieces = m.here.Masks, m.here.Why, m.here.Crossings, m.here.Pieces
	m.cells.Otherwise = m.other.Masks
	if err := m.findSure(ctx); err != nil {
		return err
	}
	return m.checkStaging(ctx)
}

// cut cuts the lots.
func (m *mapping) cut(ctx context.Context) error {
	m.lots, m.errs = make([]zoning.LotMap, len(m.Lots)), make([]error, len(m.Lots))
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

// told is the map, with what there is to tell of it but for the elevation's doubts.
func (m *mapping) told(ctx context.Context) (_ *zoning.ZoneMap, err error) {
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	sources := m.Elevation.Sources
	out := &zoning.ZoneMap{
		Units: m.o.Units, Fleet: m.fleet, Ground: cmp.Or(m.o.Ground, zoning.Dry), Sources: sources, Scale: m.scale.words, Surveyed: m.o.Surveyed,
		Error:   zoning.ElevationError{SigmaM: m.worth.noise.SigmaM, From: m.worth.noise.From, Assumed: m.o.Noise == nil && !m.worth.measured, Measured: m.worth.measured, Cautious: m.o.Cautious, Slope: m.worth.spread.Cov, Unseen: m.worth.unseen},
		Assumed: assumed(sources), Warnings: slices.Clone(m.Warnings), Cautions: zoning.Cautions(m.o.Units),
		Cells: m.cells, Field: m.field, Added: m.cells.Added, SourceAcres: sourceAcres(m.Elevation, m.lots, m.errs, watch),
	}
	if m.Boundary != "" {
		out.Boundary = m.Boundary.Words(out.Units)
	}
	if m.o.Cautious || m.o.MarginPct > 0 {
		out.Drawn = m.drawn()
	}
	if m.rests(site.OpenStreetMap) {
		out.Cautions = slices.Insert(out.Cautions, 1, zoning.OpenStreetMapUsed)
	}
	if err := m.tellWays(out, watch); err != nil {
		return nil, err
	}
	m.tellStrips(out)
	if m.surface != nil {
		m.tellGrowth(out, m.lots, m.errs, m.water, watch)
		m.tellCover(out, m.lots, m.errs, m.cells.Masks, watch)
	}
	if acres := steppedAcres(m.Elevation, m.lots, m.errs, watch); acres > 0 {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%s lie where two sources of elevation meet at different heights: their slope is in part that step", areaText(out, acres, 2)))
	}
	if err := m.tellLots(out); err != nil {
		return nil, err
	}
	if w := m.scale.warn(out.Units); w != "" {
		out.Warnings = append(out.Warnings, w)
	}
	out.Warnings = append(out.Warnings, m.scale.tooNoisy(m.fleet, m.Elevation.Grid)...)
	if m.worth.coarse && !m.coarse {
		out.Warnings = append(out.Warnings, fmt.Sprintf("no %s is sure: the elevation was drawn from cells of some %.2g m, and from %d m on none is", out.Units.OneArea(), m.worth.cellM[0], screeningM))
	}
	if m.o.tooOld() {
		out.Warnings = append(out.Warnings, fmt.Sprintf("the ground was surveyed in %s, before %s: it may have changed since", m.o.Surveyed, m.o.OldestSurvey))
	}
	if m.o.MarginPct > 0 {
		out.Assumed = append(out.Assumed, fmt.Sprintf("every limit is %.4g points lower than its machine's when zones are drawn (%s)", m.o.MarginPct, setting.Name("margin")))
	}
	if out.Error.Assumed {
		out.Assumed = append(out.Assumed, fmt.Sprintf("heights are good to %.2g m (%s; %s overrules)", m.worth.noise.SigmaM, m.worth.noise.From, setting.Name("elevation-error")))
	}
	return out, nil
}

// tellWays stamps the map with how machines get to the ground, and tells of hazards.
func (m *mapping) tellWays(out *zoning.ZoneMap, watch *beside.Watch) error {
	asked := m.here != nil && !m.coarse
	stamp := ""
	switch {
	case m.here == nil:
		stamp = zoning.BySlopeAlone
	case m.coarse:
		stamp = zoning.NoWaysAsked
	case m.work.Staging == nil:
		stamp = zoning.AccessNotChecked
	}
	if stamp != "" {
		out.Cautions = slices.Insert(out.Cautions, 1, stamp)
	}
	if !asked && m.work.Staging != nil {
		out.Warnings = append(out.Warnings, "access routes from staging were not asked for")
	}
	if m.here != nil {
		out.Otherwise = acresByBand(m.other.Masks, m.cells.Cols, m.cells.Rows, m.fleet, m.lots, m.errs, watch)
		if asked && m.work.Staging != nil {
			out.Access.Lands = m.unloads(m.fleet, m.o.Loads)
		}
		m.nearPostings(out)
		return m.tell(out, m.here, m.drainage, m.strips, watch)
	}
	return nil
}

// tellLots puts the lots that were cut into the map, and tells of the others. Where none
// was, it returns what was wrong with the first.
func (m *mapping) tellLots(out *zoning.ZoneMap) error {
	for i, err := range m.errs {
		if err == nil {
			out.Lots = append(out.Lots, m.lots[i])
			continue
		}
		m.errs[i] = withCure(err, m.Elevation.Sources[0])
		out.Warnings = append(out.Warnings, "left out: "+m.errs[i].Error())
	}
	if len(out.Lots) == 0 {
		return m.errs[0]
	}
	for _, f := range m.Failed {
		if f.Err == nil {
			continue
		}
		out.Warnings = append(out.Warnings, "left out: "+f.Err.Error())
	}
	return nil
}
