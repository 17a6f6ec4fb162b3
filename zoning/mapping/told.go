package mapping

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/setting"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// toldOfGround is the map with what there is to tell of its ground, which needs no lot cut where
// there is one source of elevation.
func (m *mapping) toldOfGround(ctx context.Context) (_ *zoning.ZoneMap, err error) {
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
	return out, nil
}

// tellOfLots tells what is known of the ground of the lots that were cut.
func (m *mapping) tellOfLots(ctx context.Context, out *zoning.ZoneMap) (err error) {
	defer beside.Ended(&err)
	watch := beside.NewWatch(ctx)
	var adding beside.Group
	defer adding.Wait()
	if m.here != nil {
		adding.Go(func() {
			out.Otherwise = acresByBand(m.other.Masks, m.cells.Cols, m.cells.Rows, m.fleet, m.lots, m.errs, watch.Another())
		})
	}
	m.tellStrips(out)
	if m.surface != nil {
		m.tellGrowth(out, m.lots, m.errs, m.water, watch)
		m.tellCover(out, m.lots, m.errs, m.cells.Masks, watch)
	}
	if acres := steppedAcres(m.Elevation, m.lots, m.errs, watch); acres > 0 {
		out.Warnings = append(out.Warnings, fmt.Sprintf("%s lie where two sources of elevation meet at different heights: their slope is in part that step", areaText(out, acres, 2)))
	}
	adding.Wait()
	if err := m.tellLots(out); err != nil {
		return err
	}
	m.tellWorth(out)
	return nil
}

// tellWorth tells what the heights are worth.
func (m *mapping) tellWorth(out *zoning.ZoneMap) {
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
		if asked && m.work.Staging != nil {
			out.Access.Lands = m.unloads(m.fleet, m.o.Loads)
		}
		m.nearPostings(out)
		return m.tell(out, m.here, m.drainage, m.rims, m.strips, watch)
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
