package mapping

import (
	"context"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/trafficability"
)

// boundSlopes finds the slope that the ground of each cell is below, once: as late as may be,
// for the sake of memory.
func (m *mapping) boundSlopes(ctx context.Context) error {
	if m.field.UpperSquared != nil {
		return nil
	}
	m.field.AddUpper()
	cols, rows := m.field.Cols, m.field.Rows
	return inParts(ctx, nil, "", rows, stripRows(cols), func(r0, r1 int) error {
		var unsure []bool
		if m.worth.doubt != nil {
			unsure = m.worth.doubt[r0*cols : r1*cols]
		}
		m.worth.spread.Fill(m.field.Part(r0, r1), unsure)
		return nil
	})
}

// steepest are the slopes that the ground is below.
func (m *mapping) steepest(ctx context.Context) (*slope.Field, error) {
	if err := m.boundSlopes(ctx); err != nil {
		return nil, err
	}
	steepest := *m.field
	steepest.Squared, steepest.UpperSquared = m.field.UpperSquared, nil
	return &steepest, nil
}

// findSure finds on what ground each machine is surely within every limit that it rests on:
// what it would be given as well if all of the ground were as steep as it may be. So a run up
// a slope is sure only where the place to turn beside it is, and what a boom reaches only
// where it surely stands and swings. Ways in and patches are no limits, and not asked again;
// steps and roughness are as they were found.
func (m *mapping) findSure(ctx context.Context, ground trafficability.Ground, steepest *slope.Field) ([]zoning.Mask, error) {
	if m.worth.coarse {
		return make([]zoning.Mask, len(ground.Lots)), nil
	}
	ground.Field, ground.Staging, ground.Unloads, ground.AcresOnly = steepest, nil, nil, true
	ground.Crests = new(trafficability.Crests) // slopes are others
	work, err := trafficability.Find(ctx, &ground, withoutPatches(m.fleet))
	if err != nil {
		return nil, err
	}
	return work.Masks, nil
}

// keepSure keeps of what is sure the ground that is worked, and of upper slopes those that tell
// more than slope does.
func (m *mapping) keepSure(ctx context.Context) error {
	for i, works := range m.cells.Masks {
		m.cells.Sure[i] &= works
	}
	if m.worth.hides() || m.worth.doubt != nil {
		return m.boundSlopes(ctx)
	}
	m.field.UpperSquared = nil
	return nil
}

func withoutPatches(fleet zoning.Fleet) zoning.Fleet {
	out := make(zoning.Fleet, len(fleet))
	for i, machine := range fleet {
		machine.PatchAcres = 0
		out[i] = machine
	}
	return out
}
