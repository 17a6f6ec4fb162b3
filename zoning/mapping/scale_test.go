package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
)

func TestScaleFollowsTheCell(t *testing.T) {
	for _, c := range []struct {
		asked   Scale
		cell    float64
		machine bool
		warns   bool
	}{
		{AutoScale, 1, true, false}, {AutoScale, 1.49, true, false}, {AutoScale, 1.5, false, true}, {AutoScale, 30, false, true},
		{CellScale, 1, false, false}, {CellScale, 30, false, true}, {MachineScale, 1, true, false},
	} {
		s, err := scaleFor(c.asked, []zoning.Machine{{LimitPct: 30}}, [2]float64{c.cell, c.cell})
		require.NoError(t, err)
		assert.Equal(t, c.machine, s.footprint != nil, "%v", c)
		assert.Equal(t, c.warns, s.warning != "", "%v", c)
	}
	_, err := scaleFor(MachineScale, []zoning.Machine{{LimitPct: 30}}, [2]float64{10, 10})
	assert.ErrorIs(t, err, ErrTooCoarse)
	s, err := scaleFor(AutoScale, []zoning.Machine{{LimitPct: 30}}, [2]float64{1, 1})
	require.NoError(t, err)
	assert.Equal(t, slope.Footprint{HalfCols: 1, HalfRows: 1}, *s.footprint)
	assert.Equal(t, "machine: plane over 3 × 3 cells, 3 × 3 m", s.words)
}
