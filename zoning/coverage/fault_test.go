package coverage

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A fault of the cutting told a surveyor neither where nor what to do.
func TestAFaultNamesItsPlaceAndTheCure(t *testing.T) {
	g, cells := flatCells(t, 20)
	ground := orb.MultiPolygon{{{metre(g, 5, 5), metre(g, 5, 15), metre(g, 15, 15), metre(g, 15, 5), metre(g, 5, 5)}}}
	s := sides(ground, cells, UnitsPerDegree)[0]
	m, err := meshAround(cells, s.rings, UnitsPerDegree)
	require.NoError(t, err)
	for name, spoil := range map[string]func(*noded){
		"no side leads into the first cell": func(n *noded) { n.nodeAt.empty(0, len(n.nodeAt.all)) },
		"no side leads out of the last": func(n *noded) {
			last := n.cells[0]
			for _, cell := range n.cells {
				last = max(last, cell)
			}
			n.nodeAt.all[last+last/int32(m.cols)+1] = 0
		},
	} {
		t.Run(name, func(t *testing.T) {
			n := newNoder(&m, s.rings)
			segments, err := n.run()
			require.NoError(t, err)
			arr := arrange(&m, segments, &n.work, &n.arena)
			spoil(segments)
			_, err = sortGround(&m, segments, arr, cells, &n.arena)
			require.ErrorIs(t, err, errUndecided)
			s := s
			s.turn = int64(360 * UnitsPerDegree)
			err = s.placed(err, UnitsPerDegree)
			assert.ErrorIs(t, err, errUndecided)
			assert.Regexp(t, `^the ground could not be told to lie inside or outside of the parcel, around 0\.000\d [NS], 3(59|60)\.\d+ W: move a corner near there by a foot`, err)
		})
	}
	assert.NoError(t, s.placed(nil, UnitsPerDegree))
}
