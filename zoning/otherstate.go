package zoning

import (
	"context"
	"errors"
	"fmt"

	"github.com/acreband/acreband/terrain/beside"
)

// InOtherState returns the map of the same ground in the other state: wet where it is dry,
// dry where it is not. Its lots are cut again by [Cells.Otherwise], and nothing is judged
// again; held is the fleet as it is held there, see [Fleet.On]. A map as planned stays so: each
// machine goes on where it may, another of those that have ground on the map takes over where
// one may, and what none may work waits for dry ground, needs a machine that does not come, or
// is for none.
//
// What was told of the first state alone is left out of it: why machines do not work a cell,
// what is surely within limits, crossings and pieces. A map without masks of the other state,
// another fleet and a context that is done are errors.
func (m *ZoneMap) InOtherState(ctx context.Context, held Fleet) (_ *ZoneMap, err error) {
	if m.View == AsPlanned {
		return m.plannedInOtherState(ctx, held)
	}
	switch {
	case m.Cells == nil || m.Field == nil || m.Cells.Otherwise == nil:
		return nil, errors.New("the map is without the masks of the other state of the ground")
	case len(held) != len(m.Fleet):
		return nil, fmt.Errorf("a fleet of %d machines for a map of %d", len(held), len(m.Fleet))
	}
	defer beside.Ended(&err)
	cells := Cells{Window: m.Cells.Window, Otherwise: m.Cells.Masks, SimplifyM: m.Cells.SimplifyM, FootPct: m.Cells.FootPct, FootUpperPct: m.Cells.FootUpperPct}
	cells.Masks, cells.Watch = m.Cells.Otherwise, beside.NewWatch(ctx)
	if err := checkLot(&cells, m.Field, held, nil); err != nil {
		return nil, err
	}
	out := *m
	out.Cells, out.Fleet, out.Drawn, out.Otherwise, out.Ground = &cells, held, nil, nil, m.Ground.other()
	out.Lots = make([]LotMap, len(m.Lots))
	for k, lot := range m.Lots {
		if lot.Coverage == nil {
			return nil, fmt.Errorf("lot %s has no coverage; take it from a map as MapLot made it", lot.Lot)
		}
		cut, err := gatherLot(&cells, m.Field, held, nil, Parcel{Lot: lot.Lot, Ground: lot.Coverage.Outline()})
		if err != nil {
			return nil, err
		}
		cut.Place, cut.EdgeAcres, cut.Notes = lot.Place, lot.EdgeAcres, lot.Notes
		out.Lots[k] = cut
	}
	cells.Watch = m.Cells.Watch
	return &out, nil
}

// other is the other state of the ground.
func (m Moisture) other() Moisture {
	if m == Wet {
		return Dry
	}
	return Wet
}

func (m *ZoneMap) plannedInOtherState(ctx context.Context, held Fleet) (*ZoneMap, error) {
	limits, err := m.ByLimits().InOtherState(ctx, held)
	if err != nil {
		return nil, err
	}
	own := m.ByLimits().Cells.Masks
	dry := own
	if m.Ground == Wet {
		dry = limits.Cells.Masks
	}
	var crew Mask
	for _, mask := range m.Cells.Masks {
		if mask.First() >= 0 {
			crew |= mask
		}
	}
	return limits.AsPlanned(ctx, func(_, cell int) Mask {
		may, now := limits.Cells.Masks[cell], m.Cells.Masks[cell]
		switch comes := may & crew; {
		case now.First() >= 0 && may&now != 0:
			return now
		case now == NeedsMachine && own[cell].First() >= 0 && own[cell]&crew != 0: // it does not get to
			return NeedsMachine
		case comes.First() >= 0:
			return 1 << comes.First()
		case dry[cell].First() >= 0 && dry[cell]&crew != 0:
			return WaitsDry
		case may.First() >= 0:
			return NeedsMachine
		}
		return 0
	})
}
