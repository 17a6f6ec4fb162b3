package sheet

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/terrain/relief"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
)

func TestFewSquareFeetDoNotCount(t *testing.T) {
	const squareFeet = 1 / 43560.0 // of an acre: exact
	for _, c := range []struct {
		acres, lot float64
		counts     bool
	}{
		{0, 1, false},
		{100 * squareFeet, 1, false},
		{0.05, 1, true}, // 5%
		{0.0499, 1, false},
		{0.25, 200, true}, // a quarter acre
		{0.2499, 200, false},
		{0.01, 0.02, true}, // half of a small lot
	} {
		assert.Equal(t, c.counts, Counts(c.acres, c.lot), "%g of %g acres", c.acres, c.lot)
	}
}

// lotOf is a lot of so many acres in each band.
func lotOf(name string, acres ...float64) zoning.LotMap {
	lot := zoning.LotMap{Lot: name}
	for b, a := range acres {
		if a > 0 {
			lot.Acres += a
			lot.Zones = append(lot.Zones, zoning.Zone{Band: b, Acres: a, SureAcres: a})
		}
	}
	return lot
}

func TestNeedIsTheLastMachineWhoseGroundCounts(t *testing.T) {
	// Three machines, then ground for none, unknown, closed.
	for _, c := range []struct {
		acres []float64
		want  need
	}{
		{[]float64{1}, needOf(0, nothingElse)},
		{[]float64{0.96, 0.04}, needOf(0, nothingElse)},
		{[]float64{0.95, 0.05}, needOf(1, nothingElse)},
		{[]float64{96, 4}, needOf(1, nothingElse)},
		{[]float64{0, 0, 1}, needOf(2, nothingElse)},
		{[]float64{0.5, 0.46, 0.04}, needOf(1, nothingElse)},
		{[]float64{0.5, 0.04, 0.46}, needOf(2, nothingElse)},
		{[]float64{0.9, 0, 0, 0, 0, 0.1}, needOf(0, someForNone)},
		{[]float64{0.97, 0, 0, 0, 0, 0.03}, needOf(0, nothingElse)},
		{[]float64{0.9, 0, 0, 0, 0, 0, 0.1}, needOf(0, someUnknown)},
		{[]float64{0.8, 0, 0, 0, 0, 0.1, 0.1}, needOf(0, someForNone)},
		{[]float64{0.5, 0, 0, 0, 0, 0, 0, 0.5}, needOf(0, nothingElse)}, // closed ground asks for nothing
		{[]float64{0, 0, 0, 0, 0, 1}, needOf(3, someForNone)},
		{[]float64{0.02, 0, 0, 0, 0, 0.98}, needOf(3, someForNone)},
		{[]float64{0, 0, 0, 0, 0, 0, 1}, needOf(3, someUnknown)},
		{[]float64{0, 0, 0, 0, 0, 0.1, 0.9}, needOf(3, someUnknown)},
		{[]float64{0, 0, 0, 0, 0, 0.9, 0.1}, needOf(3, someForNone)},
		{[]float64{0, 0, 0, 0, 0, 0, 0, 1}, needOf(3, nothingElse)},
		{[]float64{0, 0, 0, 0, 0, 0.1, 0, 0.9}, needOf(3, someForNone)},
		{nil, needOf(3, someUnknown)}, // no ground at all: nothing is known
	} {
		assert.Equal(t, c.want, lotNeed(lotOf("", c.acres...), 3), "%v", c.acres)
	}
}

// A lot in parts all of which are too small still needs the machine of the largest.
func TestNeedOfALotInScraps(t *testing.T) {
	const machines = zoning.MaxMachines
	acres := make([]float64, machines+palette.Rest)
	for b := range acres {
		acres[b] = 0.01
	}
	acres[9] = 0.011 // 0.191 acres in 19 parts: 5% each
	assert.Equal(t, needOf(machines-1, someForNone), lotNeed(lotOf("", acres...), machines))
	many := zoning.LotMap{Acres: 1, Zones: []zoning.Zone{{Band: 0, Acres: 0.01}, {Band: 2, Acres: 0.04}, {Band: 3, Acres: 0.03}}}
	assert.Equal(t, needOf(2, nothingElse), lotNeed(many, 4))
}

func TestNeedsAreOrderedAndNamed(t *testing.T) {
	fleet := []zoning.Machine{{Key: "a", Name: "Goat"}, {Key: "b", Name: "Winch"}}
	var words []string
	for n := range needs(len(fleet)) {
		words = append(words, need(n).words(fleet))
	}
	assert.Equal(t, []string{
		"Goat alone", "Goat, part not known", "Goat, part for no machine",
		"Up to Winch", "Up to Winch, part not known", "Up to Winch, part for no machine",
		"Closed to machines", "No elevation: not known", "No machine: leave or hand work",
	}, words)
}

// Success criterion 1.4.11 of WCAG 2.2 asks 3:1 of graphics needed to understand
// content: hatching and lines on the colours of lots, as they are painted.
func TestNeedsStandOut(t *testing.T) {
	for _, n := range []int{1, 4, zoning.MaxMachines} {
		m := &overviewMap{o: NewOverview(make([]zoning.Machine, n))}
		ps := m.paints()
		for k := range ps.kinds {
			tint, hatch := ps.ground(k, relief.FlatLit, 0), ps.ground(k, relief.FlatLit, inkSteps-1)
			what := fmt.Sprintf("kind %d of %d machines", k, n)
			if k != noLot {
				assert.GreaterOrEqual(t, contrast(hatch, tint), 3.0, "hatching, "+what)
			}
			assert.GreaterOrEqual(t, contrast(palette.Ink, tint), 3.0, "lines, "+what)
		}
	}
}
