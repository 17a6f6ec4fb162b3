package mapping

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/site"
)

// Trains and schools are people as houses are.
func TestPeopleOnRailwaysAndInPlaces(t *testing.T) {
	for _, kind := range []site.Kind{site.Railway, site.People} {
		l := tellerOn(t, 100, 30)
		l.Features = []site.Feature{l.spot(kind, 50, 15)}
		require.NoError(t, l.features())
		require.Len(t, l.m.Hazards, 1)
		assert.Equal(t, zoning.PeopleNear, l.m.Hazards[0].Kind)
	}
}

// A buried line is told of where its strip takes ground of the lots, and that others may lie
// there unmapped; an edge where a machine would come within its length.
func TestBuriedLinesAndEdgesBesideTheLots(t *testing.T) {
	for _, c := range []struct {
		kind   site.Kind
		hazard zoning.HazardKind
		reachM float64
		words  string
	}{
		{site.Pipeline, zoning.BuriedLine, 25 * zoning.MetresPerFoot, "Mill: mapped, not located: an unmapped one proves nothing; 25 ft kept on either side"},
		{site.Edge, zoning.DropOff, 10 * zoning.MetresPerFoot, "Mill: its height is not known; 10 ft kept on either side"},
	} {
		for _, offM := range []float64{c.reachM - 0.1, c.reachM + 0.1} {
			l := tellerOn(t, 60, 3)
			f := l.spot(c.kind, 0, 0)
			f.Geometry = orb.LineString{l.place(0.5-offM, 0), l.place(0.5-offM, 3)} // so far west of the first middles
			l.Features = []site.Feature{f}
			require.NoError(t, l.features())
			if offM > c.reachM {
				assert.Empty(t, l.m.Hazards)
				continue
			}
			require.Len(t, l.m.Hazards, 1)
			assert.Equal(t, zoning.Hazard{Kind: c.hazard, Geometry: f.Geometry, Words: c.words}, l.m.Hazards[0])
		}
	}
}

// A line of a map miles off the work is no hazard of it; a drawn one is named in any case.
func TestFarLinesOfAMapAreNotNamed(t *testing.T) {
	l := tellerOn(t, 20, 3)
	f := l.spot(site.OverheadLine, 0, 0)
	f.Geometry = orb.LineString{l.place(-150, 0), l.place(-150, 3)}
	l.Features = []site.Feature{f}
	require.NoError(t, l.features())
	require.Len(t, l.m.Hazards, 1)
	l.m.Hazards, f.From = nil, site.OpenStreetMap
	l.Features = []site.Feature{f}
	require.NoError(t, l.features())
	assert.Empty(t, l.m.Hazards)
}

// hill is a lot of 100 x 100 m on ground that rises by a tenth.
func hill(t *testing.T, features ...site.Feature) (*Ground, error) {
	t.Helper()
	heights := make([]float32, 160*160)
	for i := range heights {
		heights[i] = float32(i%160) * 0.1
	}
	grid, err := terrain.NewGrid(heights, 160, 160, 1, 1)
	require.NoError(t, err)
	corner := func(c, r float64) orb.Point {
		lon, lat := grid.Frame.LonLat(c, r)
		return orb.Point{lon, lat}
	}
	lot := zoning.Lot{Parcel: zoning.Parcel{Lot: "a", Ground: orb.MultiPolygon{{{corner(30, 30), corner(30, 130), corner(130, 130), corner(130, 30), corner(30, 30)}}}}}
	for i, f := range features {
		if p, ok := f.Geometry.(orb.Point); ok {
			features[i].Geometry = corner(p[0], p[1])
		}
	}
	return NewGround(&terrain.Elevation{Grid: grid, Sources: []terrain.Source{{CellM: [2]float64{1, 1}}}}, []zoning.Lot{lot}, features)
}

// What rests on a map of others says whose it is, before all other cautions, and that
// empty ground is not proven by it; what does not rest on one does not.
func TestWhatRestsOnOpenStreetMapSaysSo(t *testing.T) {
	g, err := hill(t, site.Feature{Kind: site.Tower, Geometry: orb.Point{80, 80}, From: site.OpenStreetMap})
	require.NoError(t, err)
	m, err := Map(t.Context(), g, fleet.Default(), Options{})
	require.NoError(t, err)
	assert.Equal(t, "© OpenStreetMap contributors, ODbL", m.Credit())
	assert.Contains(t, m.Cautions, zoning.OpenStreetMapUsed)
	assert.Contains(t, zoning.OpenStreetMapUsed, "not proven to be without")
	g, err = hill(t, site.Feature{Kind: site.Tower, Geometry: orb.Point{80, 80}})
	require.NoError(t, err)
	m, err = Map(t.Context(), g, fleet.Default(), Options{})
	require.NoError(t, err)
	assert.Empty(t, m.Credit())
	assert.NotContains(t, m.Cautions, zoning.OpenStreetMapUsed)
}

// A map shows the gates of the roads around too: none of them is a slip, and one without a
// width holds nobody, but is to be measured.
func TestGatesOfAMap(t *testing.T) {
	far := site.Feature{Kind: site.Gate, WidthM: 3, Geometry: orb.Point{5, 5}}
	g, err := hill(t, far)
	require.NoError(t, err)
	_, err = Map(t.Context(), g, fleet.Default(), Options{})
	assert.ErrorIs(t, err, ErrSite)
	far.From, far.Geometry = site.OpenStreetMap, orb.Point{5, 5}
	unposted := site.Feature{Kind: site.Gate, Geometry: orb.Point{80, 80}, From: site.OpenStreetMap}
	g, err = hill(t, far, unposted)
	require.NoError(t, err)
	m, err := Map(t.Context(), g, fleet.Default(), Options{})
	require.NoError(t, err)
	var told []string
	for _, h := range m.Hazards {
		told = append(told, string(h.Kind)+": "+h.Words)
	}
	assert.Equal(t, []string{"pinch-point: gate: nobody says how wide it is"}, told)
}
