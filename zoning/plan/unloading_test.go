package plan_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

// A machine whose load gets to no staging does not come, one that gets to some is unloaded
// as often as its ground asks for, and short of a place that its load does not get to; where
// nothing is posted all get everywhere.
func TestMachinesAreUnloadedWhereTheirLoadsGet(t *testing.T) {
	near := site.Feature{Kind: site.Staging, Place: 1, Geometry: orb.Point{-84.25, 36.34}}
	far := site.Feature{Kind: site.Staging, Place: 2, Geometry: orb.Point{-84.19, 36.31}}
	g, m := mappedTwo(t, mapping.Options{}, near, far)
	require.Len(t, m.Access.Staging, 2)
	require.Len(t, m.Fleet, 4)
	const why = "its load is over what is posted on the road to every staging, or what it weighs or measures is not given"
	m.Access.Unloads = [][]int{{0}, {0, 1}, {}, {1}}

	m.Access.Lands = nil
	s := siteOf(t, g, m, plan.Light)
	assert.Equal(t, []plan.Unload{{Times: 1}, {Times: 2}, {Times: 1}, {Times: 1}}, s.Unloads)
	free := s.Notes
	atFirst := [2]float64{s.LandingEastM, s.LandingNorthM}

	// To the first staging gets the loader, to the second the carrier, to none the boom.
	m.Access.Lands = []zoning.Mask{1 << 0, 1<<1 | 1<<3}
	s = siteOf(t, g, m, plan.Light)
	assert.Equal(t, []plan.Unload{{Times: 1}, {Times: 2}, {Times: 1, Why: why}, {Times: 1}}, s.Unloads)
	name := func(k int) string { return m.Fleet[k].Name }
	assert.Equal(t, append(free[:len(free):len(free)],
		name(0)+": unload short, at "+near.Title()+", and walk it over: its load is over what is posted on the road to "+far.Title()+".",
		name(1)+": unload short, at "+near.Title()+", and walk it over: its load is over what is posted on the road to "+near.Title()+".",
		name(3)+": unload short, at "+far.Title()+", and walk it over: its load is over what is posted on the road to "+near.Title()+"."), s.Notes)
	assert.Equal(t, atFirst, [2]float64{s.LandingEastM, s.LandingNorthM}, "some load gets there")

	// Where none gets, none lands: the other staging counts, though it is farther.
	m.Access.Lands = []zoning.Mask{0, 1 << 0}
	s = siteOf(t, g, m, plan.Light)
	m.Access.Lands = []zoning.Mask{1 << 0, 0}
	assert.Equal(t, atFirst, func() [2]float64 {
		s := siteOf(t, g, m, plan.Light)
		return [2]float64{s.LandingEastM, s.LandingNorthM}
	}())
	assert.NotEqual(t, atFirst, [2]float64{s.LandingEastM, s.LandingNorthM})
	assert.Equal(t, []string{"", why, why, why}, []string{s.Unloads[0].Why, s.Unloads[1].Why, s.Unloads[2].Why, s.Unloads[3].Why})

	p, err := plan.ForMap(g, m, plan.Default(), plan.Light)
	require.NoError(t, err)
	assert.Equal(t, []plan.RuledOut{{Key: m.Fleet[1].Key, Reason: why}, {Key: m.Fleet[2].Key, Reason: why}, {Key: m.Fleet[3].Key, Reason: why}}, p.RuledOut)
	m.Access.Unloads = nil
	assert.Nil(t, siteOf(t, g, m, plan.Light).Unloads)
	m.Access.Unloads, m.Access.Staging = [][]int{{0}, {0}, {0}, {0}}, nil
	assert.Nil(t, siteOf(t, g, m, plan.Light).Unloads, "staging is not known")
}

// Loads are in kilograms and meters of the book's pounds and feet; of a machine that the
// book does not have nothing is known. 100 lb are 45.359237 kg, 10 ft are 3.048 m.
func TestLoadsOfABook(t *testing.T) {
	book := &plan.Book{Machines: []*plan.Figures{{Key: "a", GrossLb: 100, WidthFt: 10, HeightFt: 20}}}
	loads := book.Loads([]zoning.Machine{{Key: "b"}, {Key: "a"}})
	require.Len(t, loads, 2)
	assert.Equal(t, mapping.Load{}, loads[0])
	assert.InDelta(t, 45.359237, loads[1].WeightKg, 1e-9)
	assert.InDelta(t, 3.048, loads[1].WidthM, 1e-9)
	assert.InDelta(t, 6.096, loads[1].HeightM, 1e-9)
	assert.Nil(t, (*plan.Book)(nil).Loads([]zoning.Machine{{Key: "b"}}))
}

// Places to unload are looked for for the crew that comes, and for the whole fleet where
// nobody is chosen.
func TestPlacesToUnloadAreOfTheCrew(t *testing.T) {
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{"../../examples/creek/elevation.tif"}, Parcel: "../../examples/creek/boundary.geojson"})
	require.NoError(t, err)
	m, err := mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{})
	require.NoError(t, err)
	propose := func(p *plan.Plan) []zoning.UnloadPoint {
		points, err := plan.ProposeUnloads(t.Context(), g, m, p)
		require.NoError(t, err)
		return points
	}
	crew := func(k ...int) []zoning.UnloadPoint {
		points, err := g.Propose(t.Context(), m, k)
		require.NoError(t, err)
		return points
	}
	all := crew(0, 1, 2, 3)
	require.NotEmpty(t, all)
	require.NotEqual(t, all, crew(0))
	assert.Equal(t, all, propose(nil))
	assert.Equal(t, all, propose(&plan.Plan{}))
	assert.Equal(t, crew(0), propose(&plan.Plan{Options: []plan.Option{{Crew: []plan.Brought{{Key: m.Fleet[0].Key}}}}}))
	assert.Equal(t, crew(0, 3), propose(&plan.Plan{Options: []plan.Option{{Crew: []plan.Brought{{Key: m.Fleet[3].Key}, {Key: m.Fleet[0].Key}}}}}))
}

// The notes of a map, all of them.
func TestAllNotesOfAMap(t *testing.T) {
	const all = "All ground counts as ground to clear, except no-go, setbacks and the ground around leave trees."
	const noStaging = "No staging was given: machines are taken to unload in the middle of the ground."
	const stems = "Typical stems are not given for all cover whose thickest are: there the pace is that of the class of cover. Give them as typical, such as 3in."
	at := orb.Point{-84.25, 36.34}
	cover := func(stemM, typicalM float64) site.Feature {
		return site.Feature{Kind: site.Cover, Place: 2, Class: site.Heavy, StemM: stemM, TypicalM: typicalM, Geometry: box(-84.26, 36.32, -84.24, 36.34)}
	}
	for name, c := range map[string]struct {
		features []site.Feature
		want     []string
	}{
		"nothing":         {nil, []string{all, noStaging}},
		"staging":         {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at}}, []string{all}},
		"stems":           {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at}, cover(0.1, 0)}, []string{all, stems}},
		"both":            {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at}, cover(0.1, 0.05)}, []string{all}},
		"class":           {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at}, cover(0, 0)}, []string{all}},
		"typical":         {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at}, cover(0, 0.05)}, []string{all}},
		"stems elsewhere": {[]site.Feature{{Kind: site.Staging, Place: 1, Geometry: at, StemM: 0.1}}, []string{all}},
	} {
		g, m := mappedTwo(t, mapping.Options{}, c.features...)
		assert.Equal(t, c.want, siteOf(t, g, m, plan.CoverNotGiven).Notes, name)
		g.CoverByGrowth = true // nothing was measured to take it from
		assert.Equal(t, c.want, siteOf(t, g, m, plan.CoverNotGiven).Notes, name)
	}
}
