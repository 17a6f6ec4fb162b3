package trafficability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// A boom reaches a cell where some place is near enough, height counted, and the face between them
// and that at the cell are ones it works up or down: tried from all places, on rows of several words.
func TestReachFromPlacesOneByOne(t *testing.T) {
	const cols, rows, reachM = 140, 24, 6.5
	g := made(t, cols, rows, 1, 1.2, hills(6, 25, 9))
	l := lieOf(g.Grid)
	rnd := rand.New(rand.NewPCG(4, 2))
	places := l.noCells()
	var at []int
	for range 60 {
		i := rnd.IntN(cols * rows)
		places.add(i)
		at = append(at, i)
	}
	for _, i := range []int{63, 64, 127, 128 + 23*cols, cols - 1, 10 * cols} {
		places.add(i)
		at = append(at, i)
	}
	const upPct, downPct = 45, 30
	p := &mover{ground: g, lie: l, machine: zoning.Machine{ReachM: reachM}}
	b := p.boomOver(places, p.faceSquared(upPct), p.faceSquared(downPct))
	reached := 0
	for i := range cols * rows {
		want := false
		for _, j := range at {
			run := math.Hypot(float64(i%cols-j%cols), 1.2*float64(i/cols-j/cols))
			rise := float64(g.Grid.Z[i]) - float64(g.Grid.Z[j])
			face := upPct / 100.0
			if rise < 0 {
				face = downPct / 100.0
			}
			slope := math.Sqrt(float64(g.Field.Squared[i]))
			want = want || slope < face-1e-6 && math.Abs(rise) < (face-1e-6)*run+1e-12 && math.Hypot(run, rise) <= reachM
		}
		assert.Equal(t, want, b.reaches(i), "column %d, row %d", i%cols, i/cols)
		reached += int(bit(want))
	}
	assert.Greater(t, reached, 200)
	assert.Less(t, reached, 3000)
	assert.Zero(t, p.faceSquared(0), "no face that way")
}

// A rule by cells is asked of the cells of a set alone, and leaves nothing of the row before.
func TestARuleIsAskedOfTheCellsOfARow(t *testing.T) {
	l := &lie{cols: 70, rows: 2}
	of := l.noCells()
	for _, i := range []int{70, 75, 133, 134, 139} {
		of.add(i)
	}
	var asked []int
	r := askedRule{keepsOff: func(cell int) bool { asked = append(asked, cell); return cell%2 == 1 }}
	off := []uint64{math.MaxUint64, math.MaxUint64}
	r.ofRow(off, of.row(1), 70)
	assert.Equal(t, []int{70, 75, 133, 134, 139}, asked)
	assert.Equal(t, []uint64{1<<5 | 1<<63, 1 << 5}, off)
}

// Where the slope above a face is not known there is no crest.
func TestNoCrestBelowUnknownGround(t *testing.T) {
	g := brink(t, 4)
	crestsOf := func(col int) (n int) {
		f := &faces{lie: lieOf(g.Grid), ground: g, rise: 0.3, leastM: CrestFaceM, mostM: CrestFaceM}
		for _, x := range f.crests(3) {
			if int(x.down)%20 == col {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 1, crestsOf(7))
	g.Field.Squared[39*20+7] = float32(math.NaN())
	assert.Zero(t, crestsOf(7))
	assert.Equal(t, 1, crestsOf(8))
}
