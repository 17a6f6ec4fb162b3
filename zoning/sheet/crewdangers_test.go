package sheet

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

// halves is a lot of some 230 m around the middle of 600 × 600 cells of 1 m: its west is
// worked by the first machine, its east by the second. at gives places by cells.
func halves(t *testing.T) (zm *zoning.ZoneMap, at func(col, row float64) orb.Point) {
	g, zm := scenes()["gentle"].mapped(t)
	masks := make([]zoning.Mask, g.Cols*g.Rows)
	for i := range masks {
		masks[i] = 1
		if i%g.Cols >= g.Cols/2 {
			masks[i] = 2
		}
	}
	zm.Cells = &zoning.Cells{Window: coverage.Window{Masks: masks, Cols: g.Cols, Rows: g.Rows, Col0: g.Col0, Row0: g.Row0, Frame: g.Frame}}
	return zm, func(col, row float64) orb.Point {
		lon, lat := g.Frame.LonLat(float64(g.Col0)+col, float64(g.Row0)+row)
		return orb.Point{lon, lat}
	}
}

// The worst dangers were those of ground that no machine of the crew comes near, and one place
// was told twice, as steep ground above and below.
func TestCrewDangersLieWhereTheCrewWorks(t *testing.T) {
	zm, at := halves(t)
	west, edge, east, away := at(200, 300), at(290, 300), at(400, 300), at(10, 10)
	line := func(p ...orb.Point) orb.LineString { return p }
	zm.Hazards = []zoning.Hazard{
		{Kind: zoning.Drainage, Geometry: line(away, at(180, 300)), Words: "a draw that begins far away"},
		{Kind: zoning.DropOff, Geometry: line(away, at(20, 20)), Words: "a drop far away"},
		{Kind: zoning.DropOff, Geometry: line(west, at(210, 300)), Words: "a drop in the west"},
		{Kind: zoning.DropOff, Geometry: line(at(200, 360), at(205, 360)), Words: "a smaller drop in the west"},
		{Kind: zoning.SteepBelow, Geometry: east, Words: "steep ground in the east"},
		{Kind: zoning.SteepAbove, Geometry: at(215, 300), Words: "steep ground at the drop"},
		{Kind: zoning.PinchPoint, Geometry: edge, Words: "tight for the second", Machine: zm.Fleet[1].Key},
	}
	first, second := []string{zm.Fleet[0].Key}, []string{zm.Fleet[1].Key}
	words := func(found []Danger) (out []string) {
		for _, d := range found {
			out = append(out, d.Words)
		}
		return out
	}
	assert.Equal(t, []string{"a drop in the west", "a smaller drop in the west", "a draw that begins far away"}, words(CrewDangers(zm, first, 3)))
	assert.Equal(t, []string{"steep ground in the east", "tight for the second"}, words(CrewDangers(zm, second, 3)))
	assert.Equal(t, []string{"a drop in the west", "steep ground in the east"}, words(CrewDangers(zm, nil, 2)))
	assert.Empty(t, CrewDangers(zm, []string{}, 3), "nobody comes")

	found := CrewDangers(zm, first, 3)
	assert.Less(t, found[2].At[0], at(200, 0)[0], "where the draw comes to worked ground, and no farther")
	assert.Greater(t, found[2].At[0], at(50, 0)[0])
}

// Ground within 50 ft of what the crew works is beside it, and farther off it is not.
func TestBesideIsFiftyFeet(t *testing.T) {
	zm, at := halves(t)
	ground := crewGroundOf(zm, 2) // from column 300 on, cells of 1 m
	_, near := ground.place(at(285.5, 300))
	assert.True(t, near, "14.5 m off")
	_, near = ground.place(at(282.5, 300))
	assert.False(t, near, "17.5 m off")
}

// What rain takes off a crew is told by its own machines: ground that another of them works
// wet does not wait.
func TestWetAcresOfACrew(t *testing.T) {
	zm, _ := halves(t)
	_, known := wetAcresOf(zm, 3)
	assert.False(t, known, "nobody asked")
	zm.Cells.Otherwise = make([]zoning.Mask, len(zm.Cells.Masks))
	for i := range zm.Cells.Otherwise {
		zm.Cells.Otherwise[i] = 2 // the second works all of it, wet
	}
	half := zm.Lots[0].Acres / 2
	w, known := wetAcresOf(zm, 1)
	assert.True(t, known)
	lost := w.loss
	assert.InDelta(t, half, lost, 1, "the lot is not quite the same on either side")
	assert.Zero(t, w.gain)
	w, _ = wetAcresOf(zm, 2)
	assert.Zero(t, w.loss)
	assert.InDelta(t, lost, w.gain, 1e-9, "the same ground")
	w, _ = wetAcresOf(zm, 3)
	assert.Zero(t, w.loss)
}

// Marks of ground that no machine works share bits with machines.
func TestMarksAreNoMachines(t *testing.T) {
	for _, mark := range []zoning.Mask{0, zoning.NoGo, zoning.Unknown, zoning.NeedsMachine, zoning.WaitsDry} {
		assert.False(t, mayWork(mark, 0x3fff), mark)
	}
	assert.True(t, mayWork(3, 2))
	assert.False(t, mayWork(1, 2))
}
