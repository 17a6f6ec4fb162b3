package zoning

import (
	"context"
	"errors"
	"fmt"
	"math"

	"github.com/acreband/acreband/terrain/beside"
)

// AsPlanned returns the map of the same ground [AsPlanned]: each lot is cut again by what
// worker gives for its cells, and nothing is judged again. worker is asked for the cells of
// each lot, by the lot's place in Lots and the cell's in Cells, that are neither [NoGo] nor
// [Unknown]; it returns the bit of one machine that may work the cell, [NeedsMachine],
// [WaitsDry], or 0 for no machine. The acres of both maps add up to those of the parcels.
//
// The new map shares with m, which becomes its Limits, all but its lots and masks. A map
// that is planned already, one without Cells and Field, a worker that gives a machine that
// may not work the cell, and a context that is done are errors.
func (m *ZoneMap) AsPlanned(ctx context.Context, worker func(lot, cell int) Mask) (_ *ZoneMap, err error) {
	if err := m.checkPlannable(); err != nil {
		return nil, err
	}
	defer beside.Ended(&err)
	cells := *m.Cells
	cells.Watch = beside.NewWatch(ctx)
	p := planning{m: m, masks: unworked(m.Cells.Masks), worker: worker}
	if err := p.label(); err != nil {
		return nil, err
	}
	cells.Masks = p.masks
	out := *m
	out.View, out.Limits, out.Cells = AsPlanned, m, &cells
	out.Lots = make([]LotMap, len(m.Lots))
	drawn, sure := m.Fleet, m.surePct()
	if m.Drawn != nil {
		drawn = m.Drawn
	}
	for k, lot := range m.Lots {
		back := p.own(k)
		cut, err := gatherLot(&cells, m.Field, drawn, sure, Parcel{Lot: lot.Lot, Ground: lot.Coverage.Outline()})
		if err != nil {
			return nil, err
		}
		back()
		cut.Place, cut.EdgeAcres, cut.Notes = lot.Place, lot.EdgeAcres, lot.Notes
		out.Lots[k] = cut
	}
	cells.Watch = m.Cells.Watch
	return &out, nil
}

func (m *ZoneMap) checkPlannable() error {
	switch {
	case m.View == AsPlanned:
		return errors.New("the map is as planned already: plan on the map by limits")
	case m.Cells == nil || m.Field == nil:
		return errors.New("the map is without the cells that its zones were cut from")
	}
	for _, lot := range m.Lots {
		if lot.Coverage == nil {
			return fmt.Errorf("lot %s has no coverage; take it from a map as MapLot made it", lot.Lot)
		}
	}
	drawn := m.Fleet
	if m.Drawn != nil {
		drawn = m.Drawn
	}
	return checkLot(m.Cells, m.Field, drawn, nil)
}

// planning labels cells with who works them.
type planning struct {
	m      *ZoneMap
	masks  []Mask
	worker func(lot, cell int) Mask
}

// unworked are masks without machines: what is closed or unknown stays so.
func unworked(masks []Mask) []Mask {
	out := make([]Mask, len(masks))
	for i, m := range masks {
		out[i] = m & (NoGo | Unknown)
	}
	return out
}

// label labels the cells of all lots; one that several lots share by the one that has most
// of it.
func (p *planning) label() (err error) {
	shares := map[int]float64{} // of cells that boundaries cut
	for k, lot := range p.m.Lots {
		p.each(lot, func(i int, share float64) {
			if share < 1 {
				if share <= shares[i] {
					return
				}
				shares[i] = share
			}
			mask := p.worker(k, i)
			if mask.First() >= 0 && (mask&(mask-1) != 0 || mask&p.m.Cells.Masks[i] == 0) && err == nil {
				err = fmt.Errorf("lot %s: cell %d is given to machines %#b, and those that may work it are %#b", lot.Lot, i, mask, p.m.Cells.Masks[i])
			}
			p.masks[i] = mask
		})
	}
	return err
}

// own labels the cells that a lot shares with others as they are in that lot, until the
// func it returns is called.
func (p *planning) own(k int) (back func()) {
	type was struct {
		cell int
		mask Mask
	}
	var all []was
	p.each(p.m.Lots[k], func(i int, share float64) {
		if share < 1 {
			all = append(all, was{i, p.masks[i]})
			p.masks[i] = p.worker(k, i)
		}
	})
	return func() {
		for _, w := range all {
			p.masks[w.cell] = w.mask
		}
	}
}

// each visits the cells of a lot that machines might work.
func (p *planning) each(lot LotMap, visit func(cell int, share float64)) {
	c := p.m.Cells
	lot.Coverage.EachCell(func(col, row int, share float64) {
		if col < 0 || row < 0 || col >= c.Cols || row >= c.Rows {
			return
		}
		if i := row*c.Cols + col; c.Masks[i]&(NoGo|Unknown) == 0 {
			visit(i, share)
		}
	})
}

// surePct is, by machine, the slope below which measured ground is surely within its limit;
// nil where the map was made without.
func (m *ZoneMap) surePct() []float64 {
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			if m.Fleet.IsMachine(z.Band) && !math.IsNaN(z.SureAcres) {
				return m.Fleet.SurePct(m.Error.Slope)
			}
		}
	}
	return nil
}
