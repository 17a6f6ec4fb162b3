package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// Two tree lengths between machines at work (29 CFR 1910.266(d)(6)(ii)), and the
// thrown-object distance of every head, 300 ft where its manual's is not given.
func TestMachinesKeepApart(t *testing.T) {
	known := []zoning.Machine{{ThrownM: 10}, {ThrownM: 90}, {ThrownM: 30}}
	assert.InDelta(t, 120*0.3048, apartM(nil, 60), 1e-9)
	assert.InDelta(t, 400*0.3048, apartM(known, 200), 1e-9)
	assert.Equal(t, 90.0, apartM(known, 60))
	assert.InDelta(t, 300*0.3048, apartM([]zoning.Machine{{ThrownM: 10}, {}}, 60), 1e-9)
}

// By hand: circles of 50 m have π·2500 m² = 1.9408 acres. Two of them make an area of its
// own, which takes a machine for every two; smaller pieces nearer than 50 m are one that
// takes one at a time.
func TestAreasMachinesShare(t *testing.T) {
	apart := 50.0
	two := 2 * math.Pi * apart * apart / 4046.8564224
	place := []float64{0, 49.9, 100, 150, 0, 10}
	acres := []float64{1, two * 0.999, 1, 1, two * 1.001, two * 2.999}
	s := &Site{GapM: func(a, b int) float64 { return math.Abs(place[a] - place[b]) }}
	for _, a := range acres {
		s.Pieces = append(s.Pieces, Piece{GrossAcres: a})
	}
	got := areasOf(s, 50)
	// The second is near the first, the third 50.1 m from it; the fourth 50 m from the
	// third. The last two are areas of their own though they touch the first.
	assert.Equal(t, []int{0, 0, 1, 2, 3, 4}, got.of)
	assert.Equal(t, []float64{1, 1, 1, 1, 2}, got.room)
	assert.Equal(t, 50.0, got.apartM)
	place[2] = 99
	assert.Equal(t, []int{0, 0, 0, 1, 2, 3}, areasOf(s, 50).of, "by way of another")
	s.GapM = nil
	assert.Equal(t, []int{0, 0, 0, 0, 1, 2}, areasOf(s, 50).of, "any two may touch")
	s.Pieces[0].GrossAcres = two
	assert.Equal(t, []int{0, 1, 1, 1, 2, 3}, areasOf(s, 50).of)
	s.Pieces[3].GrossAcres = two
	assert.Equal(t, []int{0, 1, 1, 2, 3, 4}, areasOf(s, 50).of)
}

// The tree that joins the landing and all pieces, each edge there and back, by hand:
// landing to the first 30, first to second 40, landing to third 25.
func TestWalkingIsTheShortestTreeThereAndBack(t *testing.T) {
	s := &Site{LandingEastM: 100, LandingNorthM: 200, Pieces: []Piece{
		{EastM: 100, NorthM: 230}, {EastM: 100, NorthM: 270}, {EastM: 80, NorthM: 185}}}
	assert.Equal(t, []float64{60, 80, 50}, s.walkM())
	s.LandingEastM = 2100
	way := s.walkM()
	assert.Equal(t, 2*40.0, way[1])
	assert.InDelta(t, 2*math.Hypot(20, 45), way[2], 1e-9)
	assert.InDelta(t, 2*math.Hypot(2000, 30), way[0], 1e-9)
}

// The tree does not depend on the order of the pieces: from the landing at 0 the nearest
// comes first, though it is the last here.
func TestTheTreeTakesTheNearestFirst(t *testing.T) {
	s := &Site{Pieces: []Piece{{EastM: 300}, {EastM: 100}, {EastM: 200}, {EastM: 50}}}
	assert.Equal(t, []float64{200, 100, 200, 100}, s.walkM())
	s = &Site{Pieces: []Piece{{EastM: 10}, {EastM: 20}, {EastM: 30}}}
	assert.Equal(t, []float64{20, 20, 20}, s.walkM())
	assert.Empty(t, (&Site{}).walkM())
}
