package plan_test

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/geo"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/site"
)

// thicket covers the west of lot a with heavy growth of 6 in stems.
var thicket = site.Feature{Kind: site.Cover, Place: 1, Class: site.Heavy, StemM: 0.1524, TypicalM: 0.0762, Geometry: box(-84.29, 36.30, -84.25, 36.38)}

// Pieces share out a zone's acres, and those to verify, whatever is on it.
func TestJobSiteSharesOutTheAcresOfZones(t *testing.T) {
	pond := site.Feature{Kind: site.NoGo, Place: 2, Setback: site.Setback{WidthM: 150}, Geometry: box(-84.245, 36.33, -84.242, 36.333)}
	for name, o := range map[string]mapping.Options{
		"plain": {}, "lines simplified": {SimplifyM: 40}, "wet": {Ground: zoning.Wet}, "margin": {MarginPct: 5},
		"slope alone": {SlopeOnly: true, SimplifyM: 40},
	} {
		t.Run(name, func(t *testing.T) {
			g, m := mappedTwo(t, o, thicket, pond)
			s := siteOf(t, g, m, plan.Light)
			type zone struct{ lot, key string }
			gross, verify := map[zone]float64{}, map[zone]float64{}
			covers := map[plan.Cover]float64{}
			for _, p := range s.Pieces {
				z := zone{p.Lot, p.Zone}
				gross[z] += p.GrossAcres
				verify[z] += p.VerifyAcres
				covers[p.Cover] += p.GrossAcres
				if first := p.May.First(); first >= 0 {
					assert.Equal(t, m.Fleet[first].Key, p.Zone)
				}
				if p.Cover == plan.Heavy {
					assert.InDelta(t, 6, p.ThickestIn, 1e-5)
					assert.InDelta(t, 3, p.StemIn, 1e-5)
				}
			}
			all := 0.0
			for _, lot := range m.Lots {
				for _, z := range lot.Zones {
					b := m.Fleet.Bands()[z.Band]
					assert.InEpsilon(t, z.Acres, gross[zone{lot.Lot, b.Key}], 1e-9, "%s %s", lot.Lot, b.Key)
					if b.Machine >= 0 {
						assert.InDelta(t, z.Acres-z.SureAcres, verify[zone{lot.Lot, b.Key}], 0.005, "but for slivers")
					}
				}
				all += lot.Acres
			}
			whole, err := plan.ForMap(g, m, plan.Default(), plan.Light)
			require.NoError(t, err)
			assert.InEpsilon(t, all, whole.GrossAcres, 1e-9, "the plan's acres are the map's")
			assert.InDelta(t, noGoAcres(m.Lots[0], m.Fleet.Bands()), all-whole.NetAcres, 0.01, "the pond and its setback are not to be cleared")
			// Lot a is cut at 84.25 W: three of its five hundredths of a degree are thicket.
			assert.InDelta(t, 0.6*m.Lots[0].Acres, covers[plan.Heavy], 0.02*m.Lots[0].Acres)
		})
	}
}

// noGoAcres are those of a lot that are closed to machines.
func noGoAcres(lot zoning.LotMap, bands []zoning.Band) float64 {
	for _, z := range lot.Zones {
		if bands[z.Band].Key == zoning.NoGoKey {
			return z.Acres
		}
	}
	return 0
}

// 0.03° along the parallel of 36.33° are 2 694 m on the ellipsoid: so far apart are the
// lots, edge to edge.
func TestGapIsNeverMoreThanTheGround(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{})
	s := siteOf(t, g, m, plan.Light)
	least := math.Inf(1)
	for i, p := range s.Pieces {
		for j, q := range s.Pieces {
			assert.Equal(t, s.GapM(i, j), s.GapM(j, i))
			if p.Lot == q.Lot {
				continue
			}
			least = min(least, s.GapM(i, j))
		}
	}
	const apartM = 2694
	assert.LessOrEqual(t, least, apartM+0.0)
	assert.Greater(t, least, 0.98*apartM-2*93, "a cell is left on either side")
}

// Machines unload at the staging that is nearest, in metres from the middle of the
// window as a sphere has them; without any in the middle of the ground.
func TestLanding(t *testing.T) {
	at := orb.Point{-84.20, 36.34}
	g, m := mappedTwo(t, mapping.Options{}, site.Feature{Kind: site.Staging, Place: 1, Geometry: at})
	s := siteOf(t, g, m, plan.Light)
	grid := g.Elevation.Grid
	lon, lat := grid.Frame.LonLat(float64(grid.Col0)+float64(grid.Cols)/2, float64(grid.Row0)+float64(grid.Rows)/2)
	assert.InEpsilon(t, geo.Distance(orb.Point{lon, lat}, at), math.Hypot(s.LandingEastM, s.LandingNorthM), 0.01)
	assert.NotContains(t, s.Notes, "No staging was given: machines are taken to unload in the middle of the ground.")

	g, m = mappedTwo(t, mapping.Options{})
	s = siteOf(t, g, m, plan.Light)
	var east, acres float64
	for _, p := range s.Pieces {
		east, acres = east+p.EastM*p.GrossAcres, acres+p.GrossAcres
	}
	assert.InDelta(t, east/acres, s.LandingEastM, 1e-6)
	assert.Contains(t, s.Notes, "No staging was given: machines are taken to unload in the middle of the ground.")
}

// Gates and bridges of the site hold machines on the ground, not their loads on the road;
// those of the book hold loads.
func TestSiteLimitsNoLoad(t *testing.T) {
	gate := site.Feature{Kind: site.Gate, Place: 1, WidthM: 6 * zoning.MetresPerFoot, Geometry: orb.Point{-84.25, 36.34}}
	g, m := mappedTwo(t, mapping.Options{}, gate)
	book := plan.Default()
	p, err := plan.ForMap(g, m, book, plan.Medium)
	require.NoError(t, err)
	assert.Empty(t, p.RuledOut)
	require.NoError(t, book.Job.Set("gate", "6.5ft"))
	p, err = plan.ForMap(g, m, book, plan.Medium)
	require.NoError(t, err)
	assert.Contains(t, p.RuledOut, plan.RuledOut{Key: "track-loader", Reason: "it is 8.5 ft wide and the gate 6.5 ft"})
}

// A machine that is unloaded twice is handled twice each way; one whose load gets nowhere is
// ruled out; a bad count is refused.
func TestUnloadingAtEach(t *testing.T) {
	machines, book := fleet.Default(), plan.Default()
	piece := plan.Piece{Lot: "a", Zone: "track-loader", May: 1, GrossAcres: 5, NetAcres: 5, Cover: plan.Light}
	moving := func(times int) float64 {
		p, err := plan.Make(&plan.Site{Pieces: []plan.Piece{piece}, Unloads: []plan.Unload{{Times: times}, {Times: 1, Why: "too heavy"}, {Times: 1}, {Times: 1}}}, machines, book)
		require.NoError(t, err)
		assert.Equal(t, []plan.RuledOut{{Key: "dedicated-carrier", Reason: "too heavy"}}, p.RuledOut)
		return p.Options[0].MovingH
	}
	handling := book.Machine("track-loader").HandlingH
	assert.InDelta(t, 2*handling, moving(2)-moving(1), 1e-9)
	for _, bad := range [][]plan.Unload{{{Times: 1}}, make([]plan.Unload, 4)} {
		_, err := plan.Make(&plan.Site{Pieces: []plan.Piece{piece}, Unloads: bad}, machines, book)
		assert.Error(t, err)
	}
	loads := book.Loads(machines)
	assert.InDelta(t, 30000*0.45359237, loads[0].WeightKg, 1e-6)
	assert.InDelta(t, 11*0.3048, loads[0].HeightM, 1e-9)
	assert.Zero(t, book.Loads(zoning.Fleet{{Key: "mine"}})[0])
}

// Cautions are those of what the map holds. 115 kV asks for 15 ft: 29 CFR 1926.1408
// Table A, a line whose voltage nobody knows for its owner.
func TestCautionsOfAMap(t *testing.T) {
	line := site.Feature{Kind: site.OverheadLine, Place: 1, KV: 115, Geometry: orb.LineString{{-84.26, 36.32}, {-84.24, 36.36}}}
	house := site.Feature{Kind: site.Building, Place: 2, Geometry: box(-84.2501, 36.3401, -84.25, 36.3402)}
	cautions := func(features ...site.Feature) (text string) {
		g, m := mappedTwo(t, mapping.Options{}, features...)
		p, err := plan.ForMap(g, m, plan.Default(), plan.Light)
		require.NoError(t, err)
		for _, c := range p.Cautions {
			text += c.Text + "\n"
		}
		return text
	}
	bare := cautions()
	assert.NotContains(t, bare, "overhead line")
	assert.NotContains(t, bare, "People")
	assert.Contains(t, bare, "lie so near a machine's limit")
	dressed := cautions(line, house)
	assert.Contains(t, dressed, "keep at least 15 ft from 115 kV")
	assert.Contains(t, dressed, "People may come within the thrown-object distance")
	line.KV = 0
	assert.Contains(t, cautions(line), "ask its owner for it")
}

// Lots too many to tell apart are planned as one, with all their acres.
func TestManyLotsArePlannedAsOne(t *testing.T) {
	var lots []named
	for i := range 300 {
		w, s := -84.29+0.004*float64(i%20), 36.31+0.004*float64(i/20)
		lots = append(lots, named{string(rune('a'+i%20)) + string(rune('a'+i/20)), box(w, s, w+0.004, s+0.004)})
	}
	g, m := mapped(t, lots, mapping.Options{SlopeOnly: true})
	s := siteOf(t, g, m, plan.Light)
	assert.Less(t, len(s.Pieces), 40)
	var want, got float64
	for _, lot := range m.Lots {
		want += lot.Acres
	}
	for _, p := range s.Pieces {
		got += p.GrossAcres
	}
	assert.InEpsilon(t, want, got, 1e-9)
	assert.Contains(t, s.Notes, "The lots are figured as one: they are too many to tell apart in a plan.")
}
