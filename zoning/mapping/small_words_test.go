package mapping

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/trafficability"
)

// A cell that a lot cuts counts by its share: the lot from 2.5 to 4.25 has half of the
// third column, all of the fourth and a quarter of the fifth.
func TestCellsCountByTheirShare(t *testing.T) {
	l := tellerOn(t, 10, 10)
	lots := []zoning.LotMap{l.mapped(t, 2.5, 3, 4.25, 5)}
	got := map[int]float64{}
	eachCell(l.Elevation, lots, []error{nil}, nil, func(cell int, acres float64) { got[cell%10] += acres })
	for col, share := range map[int]float64{2: 0.5, 3: 1, 4: 0.25} {
		assert.InDelta(t, 2*share*squareM, got[col], 1e-6, "column %d", col)
	}
	assert.Len(t, got, 3)
	assert.Equal(t, acresByBand(make([]zoning.Mask, 100), 10, 10, l.m.Fleet, lots, []error{assert.AnError}, nil), make([]float64, 6))
	masks := make([]zoning.Mask, 100)
	for i := range masks {
		if i%10 == 2 {
			masks[i] = 1
		}
	}
	sums := acresByBand(masks, 10, 10, l.m.Fleet, lots, []error{nil}, nil)
	assert.InDelta(t, squareM, sums[0], 1e-6)
	assert.InDelta(t, 2.5*squareM, sums[l.m.Fleet.NoMachineBand()], 1e-6)
}

// A drop of one cell is a spot, of more a line through them; what it falls is the most.
func TestDropsAreDrawnAsSpotsAndLines(t *testing.T) {
	l := tellerOn(t, 30, 30)
	l.rims.drops = []trafficability.Edge{{Cell: 95, DropM: 3}, {Cell: 500, DropM: 2}, {Cell: 531, DropM: 2.5}}
	l.dropOffs()
	require.Len(t, l.m.Hazards, 2)
	assert.Equal(t, l.at(95), l.m.Hazards[0].Geometry)
	assert.Equal(t, orb.LineString{l.at(531), l.at(500)}, sortedLine(l.m.Hazards[1].Geometry.(orb.LineString), l.at(531)))
	assert.Equal(t, []string{"drop-off, up to 10 ft", "drop-off, up to 8 ft"}, []string{l.m.Hazards[0].Words, l.m.Hazards[1].Words})
}

func sortedLine(line orb.LineString, first orb.Point) orb.LineString {
	if line[0] != first {
		line.Reverse()
	}
	return line
}

// Stagings are counted from 1, and one that lies off is as far as the nearest ground, along
// rows and columns.
func TestWhichStagingLiesHowFarOff(t *testing.T) {
	l := tellerOn(t, 50, 50)
	l.work.Staging = [][]int{{2525}, {0}}
	l.w.Idle = [][]int{{1}}
	l.m.Access.Staging = []orb.Point{l.at(2525 - 50*25), l.at(0)}
	drive := make([]bool, 2500)
	for _, at := range [][2]int{{3, 4}, {6, 0}, {0, 6}, {40, 1}} {
		drive[at[1]*50+at[0]] = true
	}
	l.work.Staging[0] = []int{3 + 4*50}
	l.work.Drive = drive
	l.access()
	require.Len(t, l.m.Warnings, 1)
	assert.Contains(t, l.m.Warnings[0], "staging 2 ")
	assert.Contains(t, l.m.Warnings[0], "lies 16 ft off the lots", "5 m")
}

// A machine is named in a sentence as it is written, but for a capital that begins it.
func TestNamesInASentence(t *testing.T) {
	for name, want := range map[string]string{"Track loader": "track loader", "ABC 5": "ABC 5", "Az": "az", "Aa": "aa", "A{": "A{", "A`": "A`", "A": "A", "": "", "boom": "boom"} {
		assert.Equal(t, want, lower(name))
	}
	assert.Equal(t, "a", list([]string{"a"}))
	assert.Equal(t, "a and b", list([]string{"a", "b"}))
	assert.Equal(t, "a, b and c", list([]string{"a", "b", "c"}))
}

// The oldest of the dates counts, and none where one source does not say.
func TestTheOldestSurveyCounts(t *testing.T) {
	assert.Equal(t, "2018-05", oldestSurvey([]terrain.Source{{Surveyed: "2020"}, {Surveyed: "2018-05"}, {Surveyed: "2019"}}))
	assert.Empty(t, oldestSurvey([]terrain.Source{{Surveyed: "2020"}, {}}))
}

// The window's ring goes half a cell inside it.
func TestTheRingAround(t *testing.T) {
	big := tellerOn(t, 70, 50)
	assert.InDelta(t, 69*49*squareM, coverage.Acres(orb.MultiPolygon{big.windowRing()}), 1e-5)
	assert.Len(t, big.windowRing()[0], 2*3+2*2+1, "a corner every 32 cells at the most")
}

// Two feet and more are told in feet.
func TestFeetAndInches(t *testing.T) {
	for in, want := range map[float64]string{0.4: "0 in", 3: "3 in", 23.9: "24 in", 24.1: "2.01 ft", 30: "2.5 ft"} {
		assert.Equal(t, want, orAny(measure.US, in*0.0254), "%g in", in)
	}
	assert.Equal(t, []string{"any", "12 ft"}, []string{orAny(measure.US, 0), measure.US.Length(3.6576)})
	assert.Equal(t, "1.0 psi (7 kPa)", pressure(measure.US, 6.894757))
}
