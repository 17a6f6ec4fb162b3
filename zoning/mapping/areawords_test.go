package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// Hazards told hundredths of an acre from cells of 30 m, each a fifth of an acre.
func TestWordsTellNoMoreThanCellsCarry(t *testing.T) {
	fine := &zoning.ZoneMap{Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}}
	coarse := &zoning.ZoneMap{Sources: []terrain.Source{{CellM: [2]float64{30, 30}}}}
	assert.Equal(t, "2.35 acres", areaText(fine, 2.345678, 2))
	assert.Equal(t, "2 acres", areaText(coarse, 2.345678, 2))
	assert.Equal(t, "less than an acre", areaText(coarse, 0.3, 2))
	coarse.Units = measure.Metric
	assert.Equal(t, "4 hectares", areaText(coarse, 10, 1))
}
