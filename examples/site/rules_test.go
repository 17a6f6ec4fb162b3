package site_test

import (
	"math"
	"strings"
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
	j.fleet[loader].CrossPct, j.fleet[loader].TallestM, j.fleet[loader].StemM = 8, 0, 0
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
	assert.Greater(t, m.lost(carrier, zoning.TooNarrow), 0.05)
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
	for b, band := range zoning.Bands(dry.Fleet) {
		assert.InDelta(t, wet.acres(band.Key), dry.Otherwise[b], 0.01, band.Key)
		assert.InDelta(t, dry.acres(band.Key), wet.Otherwise[b], 0.01, band.Key)
	}
}

func TestSoftGround(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.TooSoft, m.why(loader, 190, 110), "5 psi on ground that bears 4")
	assert.Equal(t, "remote-crawler", m.band(190, 110), "3 psi")
	assert.Equal(t, "track-loader", without(t, kind(site.SoftGround)).mapped(t).band(190, 110))
}

func TestGrowth(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.TooMuchGrowth, m.why(loader, 340, 120), "stems of 10 in")
	assert.Equal(t, zoning.TooMuchGrowth, m.why(boom, 340, 120))
	assert.Equal(t, "dedicated-carrier", m.band(340, 120))
	assert.Equal(t, zoning.TooMuchGrowth, m.why(loader, 118, 164), "28 ft tall")
	bare := without(t, kind(site.Cover)).mapped(t)
	assert.Equal(t, "track-loader", bare.band(340, 120))
	assert.Equal(t, "track-loader", bare.band(118, 164))
}

// The screen along the road is poles of 10 in, which only the dedicated carrier fells,
// and it is for production.
func TestSelective(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.LeaveTrees, m.why(carrier, 300, 45))
	assert.Equal(t, "no-machine", m.band(300, 45))
	assert.Equal(t, "boom-head", m.band(300, 120), "the willows, which it is for")
	whole := without(t, kind(site.Selective)).mapped(t)
	assert.Equal(t, "dedicated-carrier", whole.band(300, 45))
	assert.Equal(t, "dedicated-carrier", whole.band(300, 120))
}

// 25 ft round the burial ground, 10 ft round the oak, and 15 ft round three walnuts.
func TestSetbacks(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.InSetback, m.why(loader, 164, 104), "6.5 m from the burial ground")
	assert.Equal(t, zoning.Works, m.why(loader, 167, 104), "9.5 m")
	assert.Equal(t, "no-go", m.band(66, 106), "2 m from the oak")
	assert.Equal(t, "track-loader", m.band(66, 103), "4.5 m")
	bare := without(t, named("Boundary oak")).mapped(t)
	circle := math.Pi * 10 * 10 / 43560 // square feet to acres
	assert.InDelta(t, circle, m.acres("no-go")-bare.acres("no-go"), 0.2*circle, "to cells of 1 m")
}

// A setback that grows with the slope is wider beside the walls of the ravine than
// beside its gentle mouth, and wider there than one of a fixed width. By the rule
// filter-strip a slope of 27 % asks for 84 ft, the worked example of its guide; the wall
// at 245 m north is steeper.
func TestSetbackThatGrows(t *testing.T) {
	branch := func(rule string) (*job, mapped) {
		j := without(t, named("Branch"))
		s, err := site.ParseSetback(rule)
		require.NoError(t, err)
		for _, f := range everything(t).Features {
			if f.Name == "Branch" {
				f.Setback = s
				j.Ground = j.With(append(j.Features, f))
			}
		}
		return j, j.mapped(t)
	}
	// How far east of the branch the ground is closed.
	closedM := func(m mapped, from, y int) int {
		x := from
		for m.band(x, y) == "no-go" {
			x++
		}
		return x - from
	}
	_, grows := branch("filter-strip")
	mouth, wall := closedM(grows, 205, 155), closedM(grows, 224, 245)
	assert.InDelta(t, 56*ft, mouth, 4)
	assert.Greater(t, float64(wall), 84*ft)
	_, fixed := branch("50ft")
	assert.InDelta(t, 50*ft, closedM(fixed, 224, 245), 1.5)
	assert.Greater(t, grows.acres("no-go"), fixed.acres("no-go")+1)
}

// The boom keeps its reach of 20 ft and 15 ft of clearance (69 kV; 29 CFR 1926.1408
// Table A: up to 200 kV) from the power line; a higher voltage asks for more.
func TestOverheadLine(t *testing.T) {
	m := base(t)
	assert.Equal(t, zoning.InSetback, m.why(boom, 120, 190), "8 m from the line")
	assert.Equal(t, "no-machine", m.band(120, 190), "saplings that only the boom handles")
	assert.Equal(t, zoning.Works, without(t, kind(site.OverheadLine)).mapped(t).why(boom, 120, 190))
	j := without(t, kind(site.OverheadLine))
	for _, f := range everything(t).Features {
		if f.Kind == site.OverheadLine {
			f.KV = 500 // 25 ft
			j.Ground = j.With(append(j.Features, f))
		}
	}
	assert.Greater(t, j.mapped(t).lost(boom, zoning.InSetback), m.lost(boom, zoning.InSetback)+0.2)
	require.Len(t, m.hazards(zoning.LineNear), 1)
}

// The bench has a face below it, a ravine to the west and steep ground behind: the way
// in is the neighbour's lane.
func TestWaysIn(t *testing.T) {
	m := base(t)
	assert.True(t, m.Access.Checked)
	assert.Equal(t, "track-loader", m.band(300, 260))
	cut := without(t, kind(site.Travel)).mapped(t)
	for k := range cut.Fleet {
		assert.Equal(t, zoning.NoWayIn, cut.why(k, 300, 260), cut.Fleet[k].Key)
	}
	assert.Equal(t, "no-machine", cut.band(300, 260))
	assert.InDelta(t, 1.5, cut.lost(loader, zoning.NoWayIn), 0.2)

	free := without(t, kind(site.Staging, site.Travel)).mapped(t)
	assert.False(t, free.Access.Checked)
	assert.Contains(t, free.Cautions, zoning.AccessNotChecked)
	assert.Equal(t, "track-loader", free.band(300, 260), "nobody asks")
	require.NotEmpty(t, free.Access.Pockets)
	assert.InDelta(t, 1.4, free.Access.Pockets[0].Acres, 0.2, "the bench")
}

// What is wrong with where the trailer is put is said, with its cure.
func TestStagingOutOfPlace(t *testing.T) {
	unloadedAt := func(x, y float64) mapped {
		j := without(t, kind(site.Staging))
		j.Ground = j.With(append(j.Features, site.Feature{Kind: site.Staging, Geometry: j.spot(x, y)}))
		return j.mapped(t)
	}
	told := func(m mapped) string { return strings.Join(m.Warnings, "\n") }

	road := unloadedAt(90, 20) // the boundary runs 19 m north of it, and 5 m count as there
	assert.Zero(t, road.acres("track-loader"))
	assert.Contains(t, told(road), "no machine of the fleet drives off any staging")
	assert.Regexp(t, `lies 6\d ft off the lots and what is drawn as --travel`, told(road))

	face := unloadedAt(300, 226)
	assert.Regexp(t, `is not level: \d\d% at best, where a trailer wants 5% or less`, told(face))
	assert.Contains(t, told(face), "no way off it for Track loader, Dedicated carrier, Boom-mounted head and Remote crawler")

	assert.NotContains(t, told(base(t)), "staging")
}

// Every way east leads over the draw; none to the field by the gate.
func TestWaterCrossings(t *testing.T) {
	m := base(t)
	assert.Equal(t, 1, m.zone("dedicated-carrier").Crossings)
	assert.Equal(t, 0, m.zone("track-loader").Crossings)
	assert.Equal(t, uint8(0), m.Cells.Crossings[loader][m.cell(100, 60)])
	assert.Equal(t, uint8(1), m.Cells.Crossings[loader][m.cell(212, 100)])
	assert.Equal(t, -1, without(t, kind(site.Staging)).mapped(t).zone("dedicated-carrier").Crossings)
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
	assert.Equal(t, zoning.TooSteep, tethered(without(t, kind(site.Travel))).why(crawler, 300, 228))
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
	assert.Len(t, m.hazards(zoning.Hollow), 3)
	assert.Len(t, m.hazards(zoning.WaterLine), 9)
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
	assert.InDelta(t, 152, y, 1, "the cut bank of the borrow pit")
	assert.InDelta(t, 33, math.Abs(east-west), 3)
}
