//go:build cgo

package mapping_test

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/pymaxion/geographiclib-go/geodesic"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/write"
)

// writtenZone is a feature of zones.geojson as a stranger reads it.
type writtenZone struct {
	Properties struct {
		Lot       string
		Band      string `json:"zone"`
		Acres     float64
		Surface   *float64 `json:"surface_acres"`
		Mean      *float64 `json:"slope_mean_pct"`
		Max       *float64 `json:"slope_max_pct"`
		Limit     float64  `json:"limit_pct"`
		Procedure float64  `json:"procedure_acres"`
	}
	Geometry struct {
		Type        string
		Coordinates json.RawMessage
	}
}

func (z writtenZone) ground(t testing.TB) (mp orb.MultiPolygon) {
	if z.Geometry.Type == "Polygon" {
		mp = make(orb.MultiPolygon, 1)
		require.NoError(t, json.Unmarshal(z.Geometry.Coordinates, &mp[0]))
		return mp
	}
	require.NoError(t, json.Unmarshal(z.Geometry.Coordinates, &mp))
	return mp
}

type writtenMap struct {
	Summary struct {
		ParcelAcres float64 `json:"parcel_acres"`
		Acres       map[string]float64
	}
	Features []writtenZone
}

func written(t testing.TB, m *zoning.ZoneMap) writtenMap {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.GeoJSON(&b, m))
	var w writtenMap
	require.NoError(t, json.Unmarshal(b.Bytes(), &w))
	return w
}

// geodesicAcres measures polygons by geodesics between points at most stepM
// apart on their straight lon/lat edges: the port of GeographicLib is no part
// of this project.
func geodesicAcres(mp orb.MultiPolygon, stepM float64) float64 {
	var m2 float64
	for _, poly := range mp {
		for i, ring := range poly {
			p := geodesic.NewPolygonArea(geodesic.WGS84, false)
			for k := 1; k < len(ring); k++ {
				a, b := ring[k-1], ring[k]
				n := math.Ceil(111320 * math.Hypot(b[0]-a[0], b[1]-a[1]) / stepM)
				for j := range int(n) {
					f := float64(j) / n
					p.AddPoint(a[1]+f*(b[1]-a[1]), a[0]+f*(b[0]-a[0]))
				}
			}
			area := math.Abs(p.Compute(false, true).Area)
			if i > 0 {
				area = -area
			}
			m2 += area
		}
	}
	return m2 / 4046.8564224 // the international acre, exact
}

// randomLots are parcels over the real ground: ragged, some with a hole, some
// of two parts, some reaching off the raster.
func randomLots(rng *rand.Rand, n int) []named {
	var lots []named
	for i := range n {
		size := jacksboroCell * math.Pow(40, rng.Float64()) // a cell to forty
		lon := jacksboroMidLon + (2*rng.Float64()-1)*jacksboroHalfWide
		lat := jacksboroMidLat + (2*rng.Float64()-1)*0.8*jacksboroHalfWide
		poly := orb.Polygon{ragged(rng, lon, lat, 0.5*size, size)}
		if rng.IntN(3) == 0 {
			poly = append(poly, ragged(rng, lon, lat, 0.1*size, 0.3*size))
		}
		mp := orb.MultiPolygon{poly}
		if rng.IntN(3) == 0 {
			mp = append(mp, orb.Polygon{ragged(rng, lon+2.5*size, lat, 0.2*size, 0.6*size)})
		}
		lots = append(lots, named{strconv.Itoa(i), mp})
	}
	return lots
}

// On every map: the bands' acres sum to the parcel's to 1e-6, the acres beside
// an outline are what it measures, and the parcel's are those of its boundary.
func TestMapRandomParcels(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 42))
	lots := randomLots(rng, 400)
	g, m := survey(t, defaults(), lots...)
	w := written(t, m)
	require.Greater(t, len(g.Lots), 370, "the test's own lots lie on the raster, but a few")
	byLot, grounds := map[string]float64{}, map[string]orb.MultiPolygon{}
	for _, l := range lots {
		grounds[l.name] = l.ground
	}
	bands := map[string]float64{}
	for _, z := range w.Features {
		p := z.Properties
		byLot[p.Lot] += p.Acres
		bands[p.Band] += p.Acres
		ground := z.ground(t)
		require.InDelta(t, coverage.Acres(ground), p.Acres, 1e-9*p.Acres+1e-9, "lot %s, %s", p.Lot, p.Band)
		for _, poly := range ground {
			for i, ring := range poly {
				require.Equal(t, i == 0, ring.Orientation() == orb.CCW, "lot %s, %s: RFC 7946, 3.1.6", p.Lot, p.Band)
			}
		}
		checkSlopes(t, z)
	}
	for i, l := range m.Lots {
		require.InEpsilon(t, l.Acres, byLot[l.Lot], 1e-6, "lot %s", l.Lot)
		// A vertex where a zone meets the boundary is rounded to 0.1 mm.
		want := coverage.Acres(g.Lots[i].Ground)
		require.InEpsilon(t, want, l.Acres, 1e-6, "lot %s keeps its acres", l.Lot)
		require.InEpsilon(t, geodesicAcres(grounds[l.Lot], 10), l.Acres, 1e-6, "lot %s", l.Lot)
	}
	var sum float64
	for _, b := range m.Fleet.Bands() {
		require.InDelta(t, bands[b.Key], w.Summary.Acres[b.Key], 1e-6, b.Key)
		sum += w.Summary.Acres[b.Key]
	}
	require.InEpsilon(t, w.Summary.ParcelAcres, sum, 1e-6)
	require.Greater(t, w.Summary.Acres[zoning.UnknownKey], 1.0, "some of the test's own lots reach off the raster")
}

// checkSlopes asserts what holds for the slopes of any zone.
func checkSlopes(t *testing.T, z writtenZone) {
	t.Helper()
	p := z.Properties
	if p.Band == zoning.UnknownKey {
		require.Nil(t, p.Surface, "lot %s: unknown ground has no slope", p.Lot)
		require.Nil(t, p.Mean)
		require.Nil(t, p.Max)
		return
	}
	require.NotNil(t, p.Mean, "lot %s, %s of %g acres", p.Lot, p.Band, p.Acres)
	require.LessOrEqual(t, *p.Mean, *p.Max+1e-6)
	require.GreaterOrEqual(t, *p.Surface, p.Acres-2e-9) // written to 1e-9
	require.LessOrEqual(t, *p.Surface, p.Acres*math.Sqrt(1+math.Pow(*p.Max/100, 2))+2e-9)
	require.LessOrEqual(t, p.Procedure, p.Acres+2e-9)
	if p.Limit > 0 {
		require.Less(t, *p.Max, p.Limit, "lot %s, %s", p.Lot, p.Band)
	}
}

// The outlines of zones, against geodesics.
func TestMapOutlinesMeasureTheirAcres(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 44))
	for range 4 {
		ring := ragged(rng, jacksboroMidLon, jacksboroMidLat, 0.004, 0.02)
		_, m := survey(t, defaults(), named{"a", orb.MultiPolygon{{ring}}})
		for _, z := range written(t, m).Features {
			// In steps of 100 m geodesics leave the straight edges by 5e-8 of these
			// areas, a hundred times less in steps of 10 m.
			assert.InEpsilon(t, geodesicAcres(z.ground(t), 10), z.Properties.Acres, 1e-8, z.Properties.Band)
		}
	}
}

// Lots that share an edge measure together what they would as one.
func TestMapNeighboursAddUp(t *testing.T) {
	mid := jacksboroMidLon + 0.00123
	_, m := survey(t, defaults(),
		named{"west", rectangle(mid-0.02, jacksboroMidLat-0.01, mid, jacksboroMidLat+0.01)},
		named{"east", rectangle(mid, jacksboroMidLat-0.01, mid+0.02, jacksboroMidLat+0.01)})
	_, whole := survey(t, defaults(), named{"whole", rectangle(mid-0.02, jacksboroMidLat-0.01, mid+0.02, jacksboroMidLat+0.01)})
	for _, b := range m.Fleet.Bands() {
		both := acresOf(m, 0, b.Key) + acresOf(m, 1, b.Key)
		assert.InDelta(t, acresOf(whole, 0, b.Key), both, 1e-6*whole.Lots[0].Acres, b.Key)
	}
}

// Lowering a limit gives no ground to its machine, and none to those before it.
func TestMapLowerLimitOnlyShrinks(t *testing.T) {
	g, m := survey(t, defaults(), named{"a", rectangle(-84.28, 36.31, -84.23, 36.37)})
	for k, machine := range m.Fleet {
		machines := defaults()
		machines[k].LimitPct *= 0.9
		lower, err := mapping.Map(t.Context(), g, machines, mapping.Options{SlopeOnly: true})
		require.NoError(t, err)
		assert.Less(t, acresOf(lower, 0, machine.Key), acresOf(m, 0, machine.Key)+1e-9, machine.Key)
		for i := range m.Fleet {
			if i != k {
				assert.GreaterOrEqual(t, acresOf(lower, 0, m.Fleet[i].Key), acresOf(m, 0, m.Fleet[i].Key)-1e-9)
			}
		}
		assert.InEpsilon(t, m.Lots[0].Acres, lower.Lots[0].Acres, 1e-9)
	}
}
