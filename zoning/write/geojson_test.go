package write

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"math"
	"regexp"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/coverage"
)

var writerFleet = []zoning.Machine{
	{Key: "loader", Name: "Loader", LimitPct: 30, Basis: "manual <p. 12> & \"site\" rule"},
	{Key: "boom", Name: "Boom — head", LimitPct: 50, ProcedureAbovePct: 35},
	{Key: "crawler", Name: "Crawler", LimitPct: 65, ProcedureAbovePct: 55, TetherAbovePct: 60, TetherBasis: "manual", RatedMaxPct: 173, Caution: "mind the anchor"},
}

// writerMap is a map of two lots on stepped ground with two voids, 20 to 70%.
func writerMap(t testing.TB) *zoning.ZoneMap {
	g := stepped(t)
	g.Z[3*30+4], g.Z[7*30+6] = float32(math.NaN()), float32(math.NaN())
	a, b := lotOf(g, rectangle(1.5, 1.5, 28.5, 10.5), rectangle(10, 4, 12, 6)), lotOf(g, rectangle(3, 0.5, 9.25, 1.75))
	a.Lot, b.Lot = `Tarn "A" <&> Hollow`, "2"
	m := &zoning.ZoneMap{
		Fleet: writerFleet,
		Lots:  []zoning.LotMap{mapLot(t, g, writerFleet, a), mapLot(t, g, writerFleet, b)},
		Sources: []terrain.Source{
			{Path: "a.tif", CRS: "WGS 84", CRSFrom: "declared", CellM: [2]float64{10, 12.5}, Unit: "m", UnitFrom: "assumed"},
			{Path: "b.tif", CRS: "WGS 84", CRSFrom: "declared", CellM: [2]float64{10, 12.5}, Unit: "us-ft", UnitFrom: "vertical CRS"},
		},
		Assumed:  []string{"heights are in meters"},
		Cautions: zoning.Cautions(measure.US),
	}
	m.Lots[1].Notes = []string{"repaired"}
	return m
}

type collection struct {
	Type    string
	Summary struct {
		ParcelAcres    float64            `json:"parcel_acres"`
		Acres          map[string]float64 `json:"acres"`
		ProcedureAcres map[string]float64 `json:"procedure_acres"`
		TetherAcres    map[string]float64 `json:"tether_acres"`
		Lots           int
		DTM            []struct {
			Source  string
			CellM   []float64 `json:"cell_m"`
			Unit    string    `json:"vertical_unit"`
			From    string    `json:"vertical_unit_from"`
			Assumed bool      `json:"vertical_unit_assumed"`
		}
		Machines                           []map[string]any
		Notes, Assumed, Warnings, Cautions []string
	}
	Features []struct {
		Type       string
		Properties map[string]any
		Geometry   geometry
	}
}

type geometry struct {
	Type        string
	Coordinates json.RawMessage
}

func (g geometry) polygons(t testing.TB) (mp orb.MultiPolygon) {
	t.Helper()
	switch g.Type {
	case "Polygon":
		mp = make(orb.MultiPolygon, 1)
		require.NoError(t, json.Unmarshal(g.Coordinates, &mp[0]))
	case "MultiPolygon":
		require.NoError(t, json.Unmarshal(g.Coordinates, &mp))
		assert.Greater(t, len(mp), 1, "one part is a Polygon")
	default:
		require.Fail(t, "a zone is a Polygon or a MultiPolygon", g.Type)
	}
	return mp
}

func written(t testing.TB, m *zoning.ZoneMap) ([]byte, collection) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, GeoJSON(&b, m))
	require.True(t, json.Valid(b.Bytes()))
	var c collection
	require.NoError(t, json.Unmarshal(b.Bytes(), &c))
	return b.Bytes(), c
}

func TestGeoJSONFeatures(t *testing.T) {
	m := writerMap(t)
	_, c := written(t, m)
	assert.Equal(t, "FeatureCollection", c.Type)
	require.Len(t, c.Features, len(m.Lots[0].Zones)+len(m.Lots[1].Zones))
	required := []string{"lot", "view", "zone", "machine_name", "acres", "surface_acres", "slope_mean_pct", "slope_max_pct"}
	more := map[string][]string{
		"loader":            {"limit_pct"},
		"boom":              {"limit_pct", "procedure_above_pct", "procedure_acres"},
		"crawler":           {"limit_pct", "procedure_above_pct", "procedure_acres", "tether_above_pct", "tether_acres"},
		zoning.NoMachineKey: nil, zoning.UnknownKey: nil,
	}
	machineOf := map[any]any{"loader": "Loader", "boom": "Boom — head", "crawler": "Crawler", zoning.NoMachineKey: nil, zoning.UnknownKey: nil}
	i := 0
	for _, lot := range m.Lots {
		for _, z := range lot.Zones {
			f := c.Features[i]
			i++
			assert.Equal(t, "Feature", f.Type)
			p := f.Properties
			band := m.Fleet.Bands()[z.Band].Key
			assert.Equal(t, lot.Lot, p["lot"])
			assert.Equal(t, band, p["zone"])
			assert.Equal(t, machineOf[band], p["machine_name"])
			assert.InDelta(t, z.Acres, p["acres"], 1e-9)
			var names []string
			for name := range p {
				names = append(names, name)
			}
			assert.ElementsMatch(t, append(more[band], required...), names, band)
			for _, name := range []string{"surface_acres", "slope_mean_pct", "slope_max_pct"} {
				assert.Equal(t, band == zoning.UnknownKey, p[name] == nil, "%s of %s is null where it is not known", name, band)
			}
		}
	}
	seen := map[string]bool{}
	for _, f := range c.Features {
		seen[f.Properties["zone"].(string)] = true
	}
	assert.Len(t, seen, 5, "the test's own map has every band")
}

func TestGeoJSONSummary(t *testing.T) {
	m := writerMap(t)
	text, c := written(t, m)
	s := c.Summary
	assert.InDelta(t, m.Lots[0].Acres+m.Lots[1].Acres, s.ParcelAcres, 1e-9)
	var sum float64
	for i, b := range m.Fleet.Bands() {
		if !m.View.Has(m.Fleet, i) {
			assert.NotContains(t, s.Acres, b.Key, "by limits no ground is of it")
			continue
		}
		require.Contains(t, s.Acres, b.Key)
		sum += s.Acres[b.Key]
	}
	assert.Len(t, s.Acres, 6)
	assert.InEpsilon(t, s.ParcelAcres, sum, 1e-6)
	assert.InDelta(t, lotZone(t, m.Lots[0], m.Fleet, "boom").ProcedureAcres, s.ProcedureAcres["boom"], 1e-9)
	assert.Greater(t, s.ProcedureAcres["boom"], 0.0)
	assert.Contains(t, s.TetherAcres, "crawler")
	assert.NotContains(t, s.TetherAcres, "boom")
	assert.Equal(t, 2, s.Lots)
	require.Len(t, s.DTM, 2)
	assert.Equal(t, []float64{10, 12.5}, s.DTM[0].CellM)
	assert.Equal(t, "m", s.DTM[0].Unit)
	assert.True(t, s.DTM[0].Assumed)
	assert.Equal(t, "us-ft", s.DTM[1].Unit)
	assert.False(t, s.DTM[1].Assumed)
	assert.Equal(t, m.Assumed, s.Assumed)
	assert.Equal(t, zoning.Cautions(measure.US), s.Cautions)
	assert.Equal(t, []string{"lot 2: repaired"}, s.Notes)
	assert.Equal(t, []string{}, s.Warnings, "an empty list, not null")
	assert.Equal(t, writerFleet[0].Basis, s.Machines[0]["basis"])
	assert.NotContains(t, string(text), "173", "a rating is never printed as what a machine can do")
}

// A band that no lot has is in the summary, with 0 acres.
func TestGeoJSONNamesEveryBand(t *testing.T) {
	g := plane(t, 10, 10, 10, 0.1, 0, 0)
	_, c := written(t, &zoning.ZoneMap{Fleet: writerFleet, Lots: []zoning.LotMap{mapLot(t, g, writerFleet, lotOf(g, rectangle(2, 2, 8, 8)))}})
	require.Len(t, c.Features, 1)
	for i, b := range zoning.Fleet(writerFleet).Bands()[1:] {
		if !zoning.ByLimits.Has(writerFleet, i+1) {
			continue
		}
		v, ok := c.Summary.Acres[b.Key]
		assert.True(t, ok && v == 0, b.Key)
	}
}

// RFC 7946, section 3.1.6: shells counter-clockwise, holes clockwise, closed.
// The acres beside an outline are what it measures as written.
func TestGeoJSONGeometry(t *testing.T) {
	text, c := written(t, writerMap(t))
	kinds := map[string]bool{}
	for _, f := range c.Features {
		kinds[f.Geometry.Type] = true
		g := f.Geometry.polygons(t)
		for _, poly := range g {
			for i, ring := range poly {
				assert.Equal(t, map[bool]orb.Orientation{true: orb.CCW, false: orb.CW}[i == 0], ring.Orientation())
				assert.True(t, ring.Closed())
				assert.GreaterOrEqual(t, len(ring), 4)
			}
		}
		assert.InEpsilon(t, f.Properties["acres"], coverage.Acres(g), 1e-8)
	}
	assert.Equal(t, map[string]bool{"Polygon": true, "MultiPolygon": true}, kinds, "the test's own map has both")
	coordinate := regexp.MustCompile(`^-?(0|[1-9]\d{0,2})(\.\d{0,8}[1-9])?$`)
	for _, m := range regexp.MustCompile(`\[(-?[\d.]+), (-?[\d.]+)\]`).FindAllSubmatch(text[bytes.Index(text, []byte(`"features"`)):], -1) {
		assert.Regexp(t, coordinate, string(m[1]))
		assert.Regexp(t, coordinate, string(m[2]))
	}
}

func TestGeoJSONSameBytes(t *testing.T) {
	first, _ := written(t, writerMap(t))
	second, _ := written(t, writerMap(t))
	assert.Equal(t, string(first), string(second))
}

// failing takes n bytes, then no more.
type failing struct{ n int }

var errFull = errors.New("disk full")

func (f *failing) Write(p []byte) (int, error) {
	if f.n -= len(p); f.n < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestGeoJSONSaysThatWritingFailed(t *testing.T) {
	m := writerMap(t)
	for i := range 2000 { // more than one buffer full
		m.Lots[1].Lot = "a long name to fill the buffer with, again and again"
		if i > 0 {
			m.Lots = append(m.Lots, m.Lots[1])
		}
	}
	for _, n := range []int{0, 10, 100000} {
		assert.ErrorIs(t, GeoJSON(&failing{n}, m), errFull)
	}
	assert.NoError(t, GeoJSON(io.Discard, m))
}
