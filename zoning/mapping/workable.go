package mapping

import (
	"cmp"
	"context"
	"slices"

	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// atOnceCells is up to how many cells all searches go on at once: memory counts on more.
const atOnceCells = 4 << 20

// search finds where machines may work, on the ground assumed and, for its acres, on the
// other, and where they surely may. Without drainage ways are not asked.
func (m *mapping) search(ctx context.Context) error {
	steepest, err := m.steepest(ctx)
	if err != nil {
		return err
	}
	if m.oneByOne && len(m.o.Rules) == 0 {
		m.field.UpperSquared = nil // as large as the slopes, and soon found again in the end
	}
	ground := m.asked()
	m.firm = nil // no more memory for it, once machines were searched for
	assumed, otherwise := m.dry, m.wet
	if m.o.Ground == zoning.Wet {
		assumed, otherwise = otherwise, assumed
	}
	searches := [...]func() error{ // what keeps most memory in the end
		func() (err error) {
			m.cells.Sure, err = m.findSure(ctx, ground, steepest)
			steepest = nil // no more memory for it
			return err
		},
		func() (err error) {
			acres := ground
			acres.AcresOnly = true
			m.other, err = trafficability.Find(ctx, &acres, otherwise)
			return err
		},
		func() (err error) {
			m.here, err = trafficability.Find(ctx, &ground, assumed)
			return err
		},
	}
	var errs [len(searches)]error
	var also beside.Group
	defer also.Wait()
	for i, search := range searches {
		if m.oneByOne {
			if err := search(); err != nil {
				return err
			}
			continue
		}
		also.Go(func() { errs[i] = search() })
	}
	also.Wait()
	return cmp.Or(errs[:]...)
}

// asked is the ground as machines are asked for on it.
func (m *mapping) asked() trafficability.Ground {
	ground := m.work
	ground.Grid, ground.Field, ground.Firm, ground.Rules = m.Elevation.Grid, m.field, m.firm, m.o.Rules
	ground.Crests, ground.NoStands = new(trafficability.Crests), true // which no map tells
	ground.Closed = either(m.water, m.Site.Closed)
	if m.strips.applied && len(m.strips.in) > 0 {
		marked := make([]bool, len(ground.Lots))
		piece(m.strips.in).each(func(i int) { marked[i] = true })
		ground.Setback = either(ground.Setback, marked)
	}
	ground.Unloads = m.Ground.unloads(m.fleet, m.o.Loads)
	if ground.NoWays = m.drainage == nil; !ground.NoWays {
		ground.WaterLines, ground.Edges, ground.StepM = m.drainage.Wet, m.rims.drops, m.rims.stepM
	}
	return ground
}

// either marks what one of two marks; nil marks nothing.
func either(a, b []bool) []bool {
	switch {
	case a == nil:
		return b
	case b == nil:
		return a
	}
	out := slices.Clone(a)
	for i, marked := range b {
		out[i] = out[i] || marked
	}
	return out
}

// without marks what is marked and not excepted; nil marks nothing.
func without(marked, excepted []bool) []bool {
	if marked == nil || excepted == nil {
		return marked
	}
	out := slices.Clone(marked)
	for i, is := range excepted {
		out[i] = out[i] && !is
	}
	return out
}

// acresByBand sums the lots' acres by band over masks that were not cut.
func acresByBand(masks []zoning.Mask, cols, rows int, fleet zoning.Fleet, lots []zoning.LotMap, errs []error, watch *beside.Watch) []float64 {
	acres := make([]float64, len(fleet.Bands()))
	window := &coverage.Window{Masks: masks, Cols: cols, Rows: rows, Watch: watch}
	for i, lot := range lots {
		if errs[i] != nil {
			continue
		}
		inBands := lot.Coverage.AcresBySet(window, len(acres), func(m zoning.Mask) uint64 { return 1 << fleet.Band(m) })
		for b, a := range inBands {
			acres[b] += a
		}
	}
	return acres
}
