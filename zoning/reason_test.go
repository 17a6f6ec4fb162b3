package zoning

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning/coverage"
)

// A cell's byte stands for a reason of every map or one that was added; one that nobody
// named is told as such.
func TestReasonsAreFoundAmongThoseAdded(t *testing.T) {
	m := &ZoneMap{Added: []Reason{{"wet-meadow", "wet meadow"}, {"nesting", "nesting birds"}}}
	assert.Equal(t, Reason{"patch-size", "patch too small"}, m.Reason(TooSmallAPatch))
	assert.Equal(t, m.Added[0], m.Reason(Why(Reasons)))
	assert.Equal(t, m.Added[1], m.Reason(Why(Reasons+1)))
	assert.Equal(t, "reason-200", m.Reason(200).Key)
	assert.Equal(t, "reason-200", Why(200).String())
	assert.Equal(t, "soft-ground", TooSoft.String())
	assert.Equal(t, 256, Reasons+MostAdded)
}

// Keys stand in files and words in one line of a table.
func TestCheckReasons(t *testing.T) {
	assert.NoError(t, CheckReasons(nil))
	assert.NoError(t, CheckReasons([]Reason{{"wet-meadow-2", "Wiese, naß"}, {"a", "b"}}))
	for _, key := range []string{"", "-a", "a-", "a--b", "A", "a b", "a_b", "ä", "works", "soft-ground"} {
		assert.ErrorContains(t, CheckReasons([]Reason{{key, "words"}}), `"`+key+`"`)
	}
	for _, words := range []string{"", " ", "a\nb", "a\u202eb"} {
		assert.ErrorContains(t, CheckReasons([]Reason{{"mine", words}}), "on one line", "%q", words)
	}
	cells := &Cells{Window: coverage.Window{Frame: plane(t, 1, 1, 10, 0, 0, 100).Frame, Cols: 1, Rows: 1, Masks: make([]Mask, 1)}, Added: []Reason{{"works", "mine"}}}
	assert.ErrorContains(t, cells.Check(), `two reasons have the key "works"`)
}

// Acres by machine and reason are summed whatever the number of reasons that each has, and
// what is added is left as it was.
func TestAddLostAcres(t *testing.T) {
	first, second := [][]float64{{1, 2}, {3, 4}}, [][]float64{{10, 20, 30}}
	sum := AddLostAcres(AddLostAcres(AddLostAcres(nil, nil), first), second)
	assert.Equal(t, [][]float64{{11, 22, 30}, {3, 4}}, sum)
	assert.Equal(t, [][]float64{{1, 2}, {3, 4}}, first)
	assert.Nil(t, AddLostAcres(nil, nil))
}

// Acres of an added reason stand in its zone; cells with a reason that they do not name are
// refused, for their acres would be lost.
func TestAddedReasonsHaveTheirAcres(t *testing.T) {
	const n = 20
	g := plane(t, n, n, 10, 0, 0, 100)
	field := must(slope.Of(g))
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}, Lost: [][]Why{make([]Why, n*n)}}
	for i := range cells.Lost[0] {
		if i%n < n/2 {
			cells.Lost[0][i] = Why(Reasons)
		}
	}
	fleet := []Machine{{Key: "a", LimitPct: 30}}
	lot := lotOf(g, rectangle(2, 2, n-2, n-2))
	_, err := MapLot(cells, field, fleet, nil, lot)
	require.ErrorContains(t, err, fmt.Sprintf("Lost has reason %d", Reasons))
	cells.Added = []Reason{{"wet-meadow", "wet meadow"}}
	m, err := MapLot(cells, field, fleet, nil, lot)
	require.NoError(t, err)
	assert.InDelta(t, m.Acres/2, m.Zones[0].LostAcres[0][Reasons], 1e-4*m.Acres)
	assert.Zero(t, m.Zones[0].LostAcres[0][Works])
}
