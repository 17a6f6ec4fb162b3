package lp

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What comes first is made least also where every column has some of it.
func TestTheLeastOfWhatComesFirstIsNotZero(t *testing.T) {
	p := &Programme{Blocks: [][]Column{{{Cost: 1, First: 2}, {Cost: 5, First: 1}}, {{Cost: 9, First: 3}, {Cost: 7, First: 3}}}}
	m := optimum(t, p)
	assert.Equal(t, [][]float64{{0, 1}, {0, 1}}, m.Share)
	assert.InDelta(t, 5+7, m.Cost, 1e-12)
}

// Each of many blocks takes a pivot of its own: more of them than a few rows would need are
// no fault.
func TestManyBlocksTakeManyPivots(t *testing.T) {
	const blocks, hours = 1500, 400
	p := &Programme{Limit: []float64{hours}}
	for range blocks {
		p.Blocks = append(p.Blocks, []Column{{Cost: 100}, {Cost: 50}, {Cost: 20, In: []Entry{{0, 1}}}})
	}
	m := optimum(t, p)
	assert.InDelta(t, 20*hours+50*(blocks-hours), m.Cost, 1e-6)
	assert.InDelta(t, 30, m.Price[CostStage][0], 1e-9)
}
