package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The share of ground above 100% is told in percent of all of it: here a quarter.
func TestFeetAreToldWithAQuarterAbove(t *testing.T) {
	l := &Look{grid: slopingColumns(t, 20, 2, columns(20, 1.3, 60, 0.8)), assumedMetres: true}
	told := feetDoubts(l, nil)
	require.Equal(t, []string{DoubtFeet}, kinds(told))
	assert.Contains(t, told[0].Words, "half of the ground is steeper than 80% and 25% of it steeper than 100%")
}
