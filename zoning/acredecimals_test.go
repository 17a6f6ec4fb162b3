package zoning_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// Acres of coarse cells were told to a tenth that the cells do not carry.
func TestAcreDecimalsFollowTheCells(t *testing.T) {
	source := func(m float64) terrain.Source { return terrain.Source{CellM: [2]float64{m, m}} }
	for _, c := range []struct {
		lots    int
		cells   []float64
		under   []float64
		decimal int
	}{
		{1, nil, nil, 1},
		{2, nil, nil, 2},
		{1, []float64{1}, nil, 1},
		{2, []float64{1}, nil, 2},
		{2, []float64{10}, nil, 1},
		{1, []float64{19.95}, nil, 0}, // 20 m, as a projection stretches it
		{1, []float64{15}, nil, 1},
		{1, []float64{20}, nil, 0},
		{2, []float64{75}, nil, 0},
		{1, []float64{1, 30}, []float64{9, 2}, 0},
		{1, []float64{1, 30}, []float64{9, 0}, 1}, // named, but under no lot
	} {
		zm := &zoning.ZoneMap{Lots: make([]zoning.LotMap, c.lots), SourceAcres: c.under}
		for _, m := range c.cells {
			zm.Sources = append(zm.Sources, source(m))
		}
		assert.Equal(t, c.decimal, zm.AcreDecimals(), c)
	}
}
