package trafficability

import (
	"math"
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
		f := &faces{lie: l, ground: g, rise: 0.3, mostM: CrestFaceM}
		near, far := map[int]bool{}, map[int]bool{}
		all := *g
		all.Drive = g.Lots
		every := &faces{lie: l, ground: &all, rise: 0.3, mostM: CrestFaceM}
		for cells, crests := range map[*map[int]bool][]crest{&near: f.crests(CrestFaceM, crestM), &far: every.crests(CrestFaceM, crestM)} {
			for _, x := range crests {
				l.eachAbove(g.Grid, x, crestM, func(c, r int) {
					if i := r*120 + c; g.Drive[i] {
						(*cells)[i] = true
					}
				})
			}
		}
		assert.NotEmpty(t, far)
		assert.Equal(t, far, near, "%g m", crestM)
	}
}

// Every pair of cells, side by side, of which the lower alone is as steep as a face holds a crest.
func TestEachPairOfCellsWithACrest(t *testing.T) {
	g := made(t, 40, 30, 1, 1, hills(2, 40, 25))
	f := &faces{lie: lieOf(g.Grid), ground: g, rise: 0.4, mostM: 3}
	z, squared := g.Grid.Z, g.Field.Squared
	want := map[[2]int32]bool{}
	limit := riseSquared(40)
	for i := range z {
		for _, d := range []int{1, 40} {
			if d == 1 && i%40 == 39 || i+d >= len(z) {
				continue
			}
			up, down := i, i+d
			if z[up] < z[down] {
				up, down = down, up
			}
			if squared[down] >= limit && squared[up] < limit && f.between(up, down).faceM >= 1 {
				want[[2]int32{int32(up), int32(down)}] = true
			}
		}
	}
	got := map[[2]int32]bool{}
	for _, x := range f.crests(1, 5) {
		// The upper cell is the other one of the pair: the spot lies between the two.
		c, r := float64(x.down%40), float64(x.down/40)
		up := x.down
		switch {
		case math.Abs(float64(x.col)-c) > 1e-6:
			up += int32(math.Copysign(1, float64(x.col)-c))
		case math.Abs(float64(x.row)-r) > 1e-6:
			up += int32(math.Copysign(40, float64(x.row)-r))
		}
		got[[2]int32{up, x.down}] = true
	}
	assert.Greater(t, len(want), 20)
	assert.Equal(t, want, got)
}
