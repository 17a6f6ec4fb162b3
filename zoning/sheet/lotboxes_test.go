package sheet

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestGapsAreWhatNoSpanCovers(t *testing.T) {
	free, covered := gaps([]span{{10, 12}, {0, 2}, {1, 4}, {30, 31}, {11, 11.5}})
	assert.Equal(t, []span{{12, 30}, {4, 10}}, free)
	assert.InDelta(t, 4+2+1, covered, 1e-12)
}

// Two clusters 1000 m wide and 50 km apart: what lies between is left out.
func TestFarStripsAreLeftOut(t *testing.T) {
	spans := []span{{0, 400}, {600, 1000}, {51_000, 51_500}, {51_500, 52_000}}
	a := axisOf(spans, true)
	require.Equal(t, []span{{1000, 51_000}}, a.cuts)
	assert.InDelta(t, 2000*(1+cutShown), a.long, 1e-9)
	assert.InDelta(t, 400, a.at(400), 1e-9)
	assert.InDelta(t, 1000, a.at(1000), 1e-9)
	assert.InDelta(t, 1000+2000*cutShown, a.at(51_000), 1e-9)
	assert.InDelta(t, a.long, a.at(52_000), 1e-9)
	assert.InDelta(t, 1000+1000*cutShown, a.at(26_000), 1e-9, "in the strip itself")
	whole := axisOf(spans, false)
	assert.Empty(t, whole.cuts)
	assert.InDelta(t, 52_000, whole.long, 1e-9)
}

// Lots along a road with fields between them stay where they are.
func TestNearStripsStay(t *testing.T) {
	assert.Empty(t, axisOf([]span{{0, 100}, {250, 350}, {500, 600}}, true).cuts)
}

// Lengths of a degree on WGS84 in km, as tables of geographic coordinates print them
// (from memory): of latitude, then of longitude.
func TestMetresPerDegree(t *testing.T) {
	for lat, km := range map[float64][2]float64{
		0: {110.574, 111.320}, 15: {110.649, 107.550}, 30: {110.852, 96.486}, 45: {111.132, 78.847},
		60: {111.412, 55.800}, 75: {111.618, 28.902}, 90: {111.694, 0},
	} {
		for _, side := range []float64{lat, -lat} {
			perLon, perLat := metresPerDegree(side)
			assert.InDelta(t, km[0], perLat/1000, 0.0011, "latitude at %g", side)
			assert.InDelta(t, km[1], perLon/1000, 0.0011, "longitude at %g", side)
		}
	}
}

// squareAt is the outline of a lot by its middle and half its side, in degrees.
func squareAt(lon, lat, half float64) orb.MultiPolygon {
	return orb.MultiPolygon{{{{lon - half, lat - half}, {lon + half, lat - half}, {lon + half, lat + half}, {lon - half, lat + half}, {lon - half, lat - half}}}}
}

func TestLotsOnBothSidesOfTheAntimeridianLieSideBySide(t *testing.T) {
	var b lotBoxes
	b.add(squareAt(179.99, -16.5, 0.004), true)
	b.add(squareAt(-179.99, -16.5, 0.004), true)
	// One that crosses it, cut in two (RFC 7946, 3.1.9).
	b.add(orb.MultiPolygon{
		{{{179.998, -16.5}, {180, -16.5}, {180, -16.49}, {179.998, -16.49}, {179.998, -16.5}}},
		{{{-180, -16.5}, {-179.998, -16.5}, {-179.998, -16.49}, {-180, -16.49}, {-180, -16.5}}},
	}, true)
	require.Len(t, b.mapped, 3)
	assert.InDelta(t, 0.02, b.mapped[1].Center()[0]-b.mapped[0].Center()[0], 1e-9)
	assert.InDelta(t, 0.004, b.mapped[2].Max[0]-b.mapped[2].Min[0], 1e-9)
}

func TestWhatIsNoPlaceOnEarthIsLeftOut(t *testing.T) {
	var b lotBoxes
	b.add(nil, true)
	b.add(orb.MultiPolygon{{{{355000, 3970000}, {355100, 3970000}, {355000, 3970100}}}}, false)
	b.add(orb.MultiPolygon{{{{math.NaN(), 1}, {2, 2}, {3, 1}}}}, true)
	b.add(orb.MultiPolygon{{{{-84, 36}, {-84, math.Inf(1)}, {-83, 36}}}}, true)
	assert.Empty(t, b.shown())
	b.add(squareAt(-84, 36, 0.1), false)
	assert.Len(t, b.shown(), 1, "lots that failed, where none was mapped")
	b.add(squareAt(-84, 36, 0.1), true)
	assert.Equal(t, b.mapped, b.shown())
}
