package plan

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// The tally of an assignment has the moves of all machines and the longest of them, and the
// acres that are left and that hands clear, parts of lumps among them.
func TestTheTallyOfAnAssignment(t *testing.T) {
	b := bidsOf(0, []ours{{2, 3, 0}, {1, 1, 0}, {1, 9, 0}}, []float64{1}, lumpOf(4, hand(10)), lumpOf(8, hand(20)), lumpOf(2), lumpOf(16, by(0, 5, 1)))
	a := b.start(crew{2, 1, 0})
	a.by, a.share = []int{0, 0, -1, 0}, []float64{1, 0.25, 0, 0.75}
	got := b.tallyOf(a)
	assert.Equal(t, []float64{7, 3, 6, 12}, []float64{got.spentMoveH, got.longMoveH, got.handAcres, got.leftAcres})
}

// Hours of a lump are those of each area, the pieces of one area added up.
func TestHoursOfALumpByArea(t *testing.T) {
	s := &Site{Pieces: []Piece{stand(loaderMay, 2, 6, Light), stand(loaderMay, 3, 6, Light), stand(loaderMay, 4, 6, Light), stand(crawlerMay, 4, 6, Light)}}
	p := planning(t, s)
	p.areas = areas{of: []int{1, 0, 1, 0}, room: []float64{1, 1}}
	w, ok := p.way(&lump{pieces: []int{0, 1, 2}}, 0)
	assert.True(t, ok)
	h := func(i int) float64 { w, _ := p.v.load(0, p.kinds[0], s.Pieces[i], p.walk[i]); return w.scheduled }
	if assert.Len(t, w.in, 2) {
		assert.Equal(t, []int{1, 0}, []int{w.in[0].area, w.in[1].area})
		assert.InDelta(t, h(0)+h(2), w.in[0].hours, 1e-12)
		assert.InDelta(t, h(1), w.in[1].hours, 1e-12)
	}
	assert.InDelta(t, h(0)+h(1)+h(2), w.hours, 1e-12)
	_, ok = p.way(&lump{pieces: []int{0, 3}}, 0)
	assert.False(t, ok, "a part of it is the crawler's")
}

// Each time more that a machine is unloaded is loading and unloading its loads once more,
// both ways.
func TestUnloadingMoreThanOnce(t *testing.T) {
	kinds := []kind{{fleet: 0, machine: zoning.Machine{Key: "a"}, figures: &Figures{HandlingH: 0.5, Loads: 2}, moveH: 4}, {fleet: 1, machine: zoning.Machine{Key: "b"}, moveH: 1}}
	moves := func(times int) float64 {
		come, out := (&Site{Unloads: []Unload{{Times: times}, {Times: 1, Why: "too wide"}}}).unloaded(kinds, nil)
		assert.Equal(t, []RuledOut{{"b", "too wide"}}, out)
		return come[0].moveH
	}
	assert.Equal(t, []float64{4, 6, 8}, []float64{moves(1), moves(2), moves(3)})
	come, out := (&Site{}).unloaded(kinds, nil)
	assert.Len(t, come, 2)
	assert.Empty(t, out)
}
