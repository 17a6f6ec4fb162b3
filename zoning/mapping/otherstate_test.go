package mapping

import (
	"context"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// What a map says of the other state of the ground is the map of that state.
func TestInOtherState(t *testing.T) {
	h := rough(128, 0.9, 30, false, 3)
	machines := fleet.Default()
	dry, wet := h.mapped(t, machines, Options{}), h.mapped(t, machines, Options{Ground: zoning.Wet})
	require.NotEqual(t, dry.Lots[0].Zones[0].Acres, wet.Lots[0].Zones[0].Acres)
	for _, c := range []struct {
		from, to *zoning.ZoneMap
		held     zoning.Fleet
	}{{dry, wet, machines.On(zoning.Wet)}, {wet, dry, machines}} {
		got, err := c.from.InOtherState(t.Context(), c.held)
		require.NoError(t, err)
		require.NoError(t, got.Check())
		assert.Equal(t, c.to.Ground, got.Ground)
		assert.Equal(t, c.to.Cells.Masks, got.Cells.Masks)
		require.Len(t, got.Lots[0].Zones, len(c.to.Lots[0].Zones))
		for i, z := range c.to.Lots[0].Zones {
			assert.Equal(t, z.Band, got.Lots[0].Zones[i].Band)
			assert.InDelta(t, z.Acres, got.Lots[0].Zones[i].Acres, 1e-9)
		}
		assert.Nil(t, got.Cells.Sure, "what was sure of the one state is not of the other")
	}
}

// A crew's ground that is not its when wet waits for dry ground; what others could work needs
// them; and all acres are those of the parcel.
func TestPlannedInOtherState(t *testing.T) {
	h := rough(128, 0.9, 10, false, 3)
	machines := fleet.Default()
	m := h.mapped(t, machines, Options{})
	planned, err := m.AsPlanned(t.Context(), func(_, cell int) zoning.Mask {
		if m.Cells.Masks[cell]&1 != 0 {
			return 1
		}
		if m.Cells.Masks[cell] != 0 {
			return zoning.NeedsMachine
		}
		return 0
	})
	require.NoError(t, err)
	wet, err := planned.InOtherState(t.Context(), machines.On(zoning.Wet))
	require.NoError(t, err)
	assert.Equal(t, zoning.AsPlanned, wet.View)
	waits, stays := 0, 0
	for i, may := range m.Cells.Otherwise {
		if planned.Cells.Masks[i] != 1 {
			continue
		}
		if may&1 != 0 {
			stays++
			assert.Equal(t, zoning.Mask(1), wet.Cells.Masks[i])
		} else {
			waits++
			assert.Equal(t, zoning.WaitsDry, wet.Cells.Masks[i])
		}
	}
	assert.NotZero(t, waits)
	assert.NotZero(t, stays)
	sum := 0.0
	for _, z := range wet.Lots[0].Zones {
		sum += z.Acres
	}
	assert.InDelta(t, m.Lots[0].Acres, sum, 1e-6)
}

func TestInOtherStateRefuses(t *testing.T) {
	machines := fleet.Default()
	m := rough(64, 0.9, 10, false, 3).mapped(t, machines, Options{})
	_, err := m.InOtherState(t.Context(), machines[:2])
	assert.ErrorContains(t, err, "2 machines for a map of 4")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = m.InOtherState(ctx, machines)
	assert.ErrorIs(t, err, context.Canceled)
	m.Cells.Otherwise = nil
	_, err = m.InOtherState(t.Context(), machines)
	assert.ErrorContains(t, err, "without the masks")
}
