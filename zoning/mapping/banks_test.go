package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/terrain/measure"
)

func TestRangesInWords(t *testing.T) {
	assert.Empty(t, rangeOf(measure.US, 0, 0), "where none is known")
	assert.Equal(t, " (2 to 4 ft)", rangeOf(measure.US, 0.75, 1.0))
	assert.Equal(t, "0 to 1 ft", measure.US.Between(0.1, 0.3048))
	assert.Equal(t, "3 to 5 ft", measure.US.Between(3*0.3048, 5*0.3048), "whole feet stay")
}

// A bank that the cells hide is told once for its line, with the range of all of it.
func TestBanksThatAreLikely(t *testing.T) {
	l := tellerOn(t, 30, 30)
	hidden := func(line, cell int, low, high float64) bank.Bank {
		return bank.Bank{Line: line, Cell: cell, Upper: cell, Foot: cell, HeightM: 1, LowM: low, HighM: high, Hidden: true}
	}
	l.rims.banks = []bank.Bank{hidden(0, 95, 0.6, 1.2), hidden(0, 96, 0.7, 1.6), hidden(0, 97, 0.8, 1.1), hidden(1, 200, 0.6, 1.2), {Line: 2, Cell: 110}}
	near := make([]bool, 900)
	for i := range near {
		near[i] = true
	}
	l.hiddenBanks(near)
	assert.Len(t, l.m.Hazards, 1, "one cell is too short")
	assert.Equal(t, "bank likely here, 2 to 6 ft high: the cells do not show whether it is a face or a slope", l.m.Hazards[0].Words)
	assert.NotEmpty(t, l.m.Hazards[0].Kind.Caution())
	clear(near)
	l.m.Hazards = nil
	l.hiddenBanks(near)
	assert.Empty(t, l.m.Hazards, "far from the lots")
}
