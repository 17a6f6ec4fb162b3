package site_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/site"
)

// Nothing vanishes: the bands sum to the parcel, and so do, for each machine, what it may
// work and what it loses, reason by reason.
func TestEveryAcreIsTold(t *testing.T) {
	for name, o := range map[string]func(j *job){
		"dry":        func(*job) {},
		"wet":        func(j *job) { j.Options.Ground = zoning.Wet },
		"simplified": func(j *job) { j.SimplifyM = 5 * ft },
	} {
		t.Run(name, func(t *testing.T) {
			j := everything(t)
			o(j)
			m := j.mapped(t)
			parcel := m.Lots[0].Acres
			assert.InDelta(t, 23.5, parcel, 0.1)
			sum := 0.0
			for _, z := range m.Lots[0].Zones {
				sum += z.Acres
			}
			assert.InEpsilon(t, parcel, sum, 1e-6)
			for k := range m.Fleet {
				lost := 0.0
				for _, acres := range m.LostAcres()[k] {
					lost += acres
				}
				// A cell is measured here by its share, there by the outline.
				assert.InEpsilon(t, parcel, m.works(k)+lost, 1e-5, m.Fleet[k].Key)
			}
		})
	}
}

// By slope alone a machine gets the bench, the wet draw and the poles, where it cannot
// go; every rule only takes ground away, but for what a boom reaches.
func TestSlopeAlone(t *testing.T) {
	j := everything(t)
	all := j.mapped(t)
	j.SlopeOnly = true
	slope := j.mapped(t)
	assert.Equal(t, "no-machine", slope.band(300, 228), "the face is 80 %")
	assert.Equal(t, "track-loader", slope.band(190, 100), "the wet draw")
	assert.Equal(t, "track-loader", slope.band(340, 120), "the poles")
	assert.Contains(t, slope.Cautions, zoning.BySlopeAlone)
	for _, k := range []int{loader, carrier, crawler} {
		assert.Less(t, all.works(k), slope.works(k)-1, all.Fleet[k].Key)
	}
	assert.Equal(t, zoning.TooSteep, all.why(crawler, 300, 228))
}

// The crest of the ridge falls by 20 %, more than the 15 % that a carrier turns on: it
// backs off it for 200 ft, not for more.
func TestTurning(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.TooSmallAPatch, m.why(carrier, 118, 164), "it may drive there")
	assert.Equal(t, zoning.NoTurn, m.why(carrier, 120, 226))
	j := everything(t)
	j.fleet[carrier].RunM = 500 * ft
	longer := j.mapped(t)
	assert.NotEqual(t, zoning.NoTurn, longer.why(carrier, 120, 226))
	assert.Less(t, longer.lost(carrier, zoning.NoTurn), m.lost(carrier, zoning.NoTurn)-0.3)
	j.fleet[carrier].RunM, j.fleet[carrier].CrossPct = 0, 0 // turns anywhere
	assert.Zero(t, j.mapped(t).lost(carrier, zoning.NoTurn))
}

// A fence up the field and the hillside leaves only its upper part, of 30 %, to get past
// it. A machine held to 8 % across cannot turn towards it there and has no way in beyond;
// one held to none drives by.
func TestAcross(t *testing.T) {
	j := with(t, site.Feature{Kind: site.NoGo, Name: "Fence"}, 340, 30, 342, 190)
	lower, err := j.fleet[loader].With(zoning.CrossLimit, 8)
	require.NoError(t, err)
	lower.TallestM, lower.StemM = 0, 0
	j.fleet[loader] = lower
	m := j.mapped(t)
	assert.Equal(t, zoning.Works, m.why(loader, 330, 120))
	assert.Equal(t, zoning.NoWayIn, m.why(loader, 356, 120))
	j.fleet[loader].CrossPct = 0
	assert.Equal(t, zoning.Works, j.mapped(t).why(loader, 356, 120))
}

// The farm crossing is wide enough for the dedicated carrier and no wider than that: a
// tight spot, told with the ground beyond.
func TestWidth(t *testing.T) {
	j := everything(t)
	m := j.mapped(t)
	assert.Equal(t, "dedicated-carrier", m.band(340, 120))
	pinches := m.hazards(zoning.PinchPoint)
	require.Len(t, pinches, 1)
	assert.Equal(t, "dedicated-carrier", pinches[0].Machine)
	x, y := j.metres(pinches[0].Geometry.(orb.Point))
	assert.Less(t, math.Hypot(x-194, y-80), 4.0, "the crossing is at 194, 80")

	j.fleet[carrier].WidthM = 16 * ft
	wider := j.mapped(t)
	assert.Equal(t, zoning.NoWayIn, wider.why(carrier, 340, 120))
	assert.Equal(t, "no-machine", wider.band(340, 120))
	j.fleet[carrier].WidthM = 0
	assert.InDelta(t, 0, j.mapped(t).lost(carrier, zoning.TooNarrow), 0.001, "but for slivers of cells at the boundary")
	assert.Greater(t, m.lost(carrier, zoning.TooNarrow), 0.04)
}

// Above the cut bank of the borrow pit a machine keeps back by its length.
func TestDropOff(t *testing.T) {
	m := without(t, named("Saplings on the ridge")).mapped(t)
	assert.Equal(t, zoning.NearDropOff, m.why(loader, 95, 154))
	assert.Equal(t, zoning.Works, m.why(loader, 95, 158))
	assert.Equal(t, zoning.Works, m.why(loader, 95, 140), "on the floor of the pit")
}

// On wet ground every machine loses. The lane is 13.6 %, and the track loader turns on
// 10 % then: the bench is cut off from it.
func TestWetGround(t *testing.T) {
	j := everything(t)
	dry := j.mapped(t)
	j.Options.Ground = zoning.Wet
	wet := j.mapped(t)
	for k := range wet.Fleet {
		assert.Less(t, wet.works(k), dry.works(k)-0.5, wet.Fleet[k].Key)
	}
	assert.Equal(t, "track-loader", dry.band(300, 260))
	assert.Equal(t, zoning.NoWayIn, wet.why(loader, 300, 260))
	assert.Equal(t, "remote-crawler", wet.band(300, 260))
	for b, band := range dry.Fleet.Bands() {
		assert.InDelta(t, wet.acres(band.Key), dry.Otherwise[b], 0.01, band.Key)
		assert.InDelta(t, dry.acres(band.Key), wet.Otherwise[b], 0.01, band.Key)
	}
}

// The boom stands among the willows and works the pond's bank, which is 70 %.
func TestReach(t *testing.T) {
	j := everything(t)
	m := j.mapped(t)
	const x, y = 300, 79
	require.Greater(t, m.Field.Pct(x-m.Cells.Col0, 399-y-m.Cells.Row0), 35.0, "steeper than it drives on")
	assert.Equal(t, "boom-head", m.band(x, y))
	j.fleet[boom].ReachM, j.fleet[boom].ReachUpPct, j.fleet[boom].ReachDownPct = 0, 0, 0
	assert.Equal(t, "no-machine", j.mapped(t).band(x, y))
}

// With a manual that allows a tether, and the boom carrier on the bench to hold it, the
// crawler works the face, up to 100 %. Not on wet ground, and not without the lane.
func TestTether(t *testing.T) {
	tethered := func(j *job) mapped {
		j.fleet[crawler].TetherBasis = "manual, an example"
		return j.mapped(t)
	}
	m := base(t)
	on := tethered(everything(t))
	assert.Equal(t, "no-machine", m.band(300, 228))
	assert.Equal(t, "remote-crawler", on.band(300, 228))
	assert.Greater(t, on.acres("remote-crawler"), m.acres("remote-crawler")+0.4)
	assert.Greater(t, on.zone("remote-crawler").TetherAcres, 0.4)
	assert.Zero(t, m.zone("remote-crawler").TetherAcres)
	laneless := without(t, kind(site.Travel))
	laneless.ManyLots = true // the foot of the lane is staging of another lot now
	assert.Equal(t, zoning.TooSteep, tethered(laneless).why(crawler, 300, 228))
	wet := everything(t)
	wet.Options.Ground = zoning.Wet
	assert.Equal(t, zoning.TooSteep, tethered(wet).why(crawler, 300, 228))
}

// The poles are 3.3 acres: worth moving the dedicated carrier to where that takes 3, and
// hand work where it takes 5.
func TestPatchSize(t *testing.T) {
	j := everything(t)
	assert.InDelta(t, 3.3, j.mapped(t).acres("dedicated-carrier"), 0.2)
	j.fleet[carrier].PatchAcres = 5
	m := j.mapped(t)
	assert.Zero(t, m.acres("dedicated-carrier"))
	assert.Equal(t, zoning.TooSmallAPatch, m.why(carrier, 340, 120))
	assert.Equal(t, "no-machine", m.band(340, 120))
}

// The house lies off the parcel, and within 300 ft of ground to be cleared.
func TestPeople(t *testing.T) {
	j := everything(t)
	near := j.mapped(t).hazards(zoning.PeopleNear)
	require.Len(t, near, 3)
	assert.Contains(t, near[1].Words, "House next door (building)")
	assert.Contains(t, near[1].Words, "acres of the track loader")
	for k := range j.fleet {
		j.fleet[k].ThrownM = 30 * ft
	}
	for _, h := range j.mapped(t).hazards(zoning.PeopleNear) {
		assert.NotContains(t, h.Words, "House", "more than 30 ft from the line")
	}
}

// The pond is closed though nobody drew it.
func TestWater(t *testing.T) {
	j := everything(t)
	assert.Equal(t, "no-go", j.mapped(t).band(300, 95))
	j.WaterIsGround = true
	assert.NotEqual(t, "no-go", j.mapped(t).band(300, 95))
}

// One draw, the pond's inlet and outlet, and swales of an acre or more; the hollow behind
// the crossing, the pit and the pond; the edges of the ravine, of the face and of the cut
// bank. None is told in crumbs.
func TestHazards(t *testing.T) {
	j := everything(t)
	m := base(t)
	assert.Len(t, m.hazards(zoning.Depression), 3)
	assert.Len(t, m.hazards(zoning.Drainage), 9)
	assert.Less(t, len(m.hazards(zoning.DropOff)), 10)
	assert.Len(t, m.hazards(zoning.SteepAbove), 2, "the face and the walls of the ravine")
	assert.Len(t, m.hazards(zoning.SteepBelow), 2)
	for _, h := range m.Hazards {
		assert.NotContains(t, h.Words, "0.00 acres")
	}
	var cut orb.LineString
	for _, h := range m.hazards(zoning.DropOff) {
		if line, is := h.Geometry.(orb.LineString); is {
			if x, y := j.metres(line[0]); y < 160 && x < 150 {
				cut = line
			}
		}
	}
	west, y := j.metres(cut[0])
	east, _ := j.metres(cut[len(cut)-1])
	assert.InDelta(t, 152, y, 2, "the cut bank of the borrow pit, at its corner")
	assert.InDelta(t, 33, math.Abs(east-west), 3)
}
