package mapping

import (
	"cmp"
	"context"
	"slices"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain/beside"
	"github.com/acreband/acreband/terrain/flow"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// atOnceCells is up to how many cells both states of the ground are found at once:
// memory counts on more.
const atOnceCells = 4 << 20

// workable finds where the machines of a fleet may work, on the ground assumed and,
// for its acres, on the other. Without drainage ways are not asked.
func (g *Ground) workable(ctx context.Context, field *slope.Field, firm []zoning.Mask, water []bool, d *flow.Drainage, dry, wet []zoning.Machine, on zoning.Moisture) (here, other *trafficability.Work, err error) {
	ground := g.work
	ground.Grid, ground.Field, ground.Firm = g.Elevation.Grid, field, firm
	ground.Closed = either(water, g.Site.Closed)
	if ground.NoWays = d == nil; d != nil {
		ground.WaterLines, ground.Edges = d.Wet, g.seen.drops
	}
	if on == zoning.Wet {
		dry, wet = wet, dry
	}
	var also beside.Group
	acres := ground
	acres.AcresOnly = true
	defer also.Wait()
	var otherErr error
	find := func() { other, otherErr = trafficability.Find(ctx, &acres, wet) }
	atOnce := len(ground.Lots) <= atOnceCells
	if atOnce {
		also.Go(find)
	}
	here, err = trafficability.Find(ctx, &ground, dry)
	also.Wait()
	if err == nil && !atOnce {
		find()
	}
	return here, other, cmp.Or(err, otherErr)
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

// acresByBand sums the lots' acres by band over masks that were not cut.
func acresByBand(masks []zoning.Mask, cols, rows int, fleet []zoning.Machine, lots []zoning.LotMap, errs []error, watch *beside.Watch) []float64 {
	acres := make([]float64, len(zoning.Bands(fleet)))
	for i, lot := range lots {
		if errs[i] != nil {
			continue
		}
		sums := make([]float64, len(acres))
		var whole float64
		lot.Coverage.EachCell(func(col, row int, share float64) {
			watch.Did(1)
			mask := zoning.Unknown
			if col >= 0 && row >= 0 && col < cols && row < rows {
				mask = masks[row*cols+col]
			}
			sums[zoning.BandOf(mask, len(fleet))] += share
			whole += share
		})
		for b, s := range sums {
			acres[b] += lot.Acres * s / whole
		}
	}
	return acres
}
