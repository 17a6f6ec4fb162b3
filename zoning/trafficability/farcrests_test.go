package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Crests are found alike on ground that only the cells driven on, and how far a machine is from
// them, are told of: what is too far to matter is not looked at, and changes nothing.
func TestCrestsFarFromWhatIsDrivenOn(t *testing.T) {
	height := hills(9, 60, 20)
	g := made(t, 120, 100, 1, 1, height)
	g.Drive = make([]bool, len(g.Lots))
	for i := range g.Drive {
		c, r := i%120, i/120
		g.Drive[i] = c >= 45 && c < 70 && r >= 40 && r < 60
	}
	l := lieOf(g.Grid)
	for _, crestM := range []float64{3, 12, 17} {
		f := &faces{lie: l, ground: g, rise: 0.3, leastM: CrestFaceM, mostM: CrestFaceM}
		near, far := l.noCells(), l.noCells()
		all := *g
		all.Drive = g.Lots
		every := &faces{lie: l, ground: &all, rise: 0.3, leastM: CrestFaceM, mostM: CrestFaceM}
		disc := l.crestDisc(g.Grid, crestM)
		for cells, crests := range map[*cellSet][]crest{&near: f.crests(crestM), &far: every.crests(crestM)} {
			for _, x := range crests {
				disc.addTo(*cells, x)
			}
		}
		for i, drive := range l.cellsOf(g.Drive).bits {
			near.bits[i] &= drive
			far.bits[i] &= drive
		}
		assert.NotEqual(t, l.noCells(), far)
		assert.Equal(t, far, near, "%g m", crestM)
	}
}
