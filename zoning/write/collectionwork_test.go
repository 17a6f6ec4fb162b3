package write

import (
	"bytes"
	"encoding/json"
	"fmt"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
)

// worked is the made map as one for which more than slope was asked, on wet ground.
func worked(t *testing.T) *zoning.ZoneMap {
	m := writerMap(t)
	m.Ground, m.Otherwise = zoning.Wet, make([]float64, len(m.Fleet.Bands()))
	m.Otherwise[0], m.Otherwise[1] = 1.25, 0.5
	m.Access = zoning.Access{Checked: true, Staging: []orb.Point{{-84.25, 36.33}}, Pockets: []zoning.Pocket{{Machine: 1, Acres: 0.25, At: orb.Point{-84.2, 36.3}}}}
	m.Cautions = union(m.Cautions, []string{zoning.Cautions(measure.US)[0], zoning.NoWaysAsked})
	for i := range m.Lots {
		for k := range m.Lots[i].Zones {
			lost := [][]float64{make([]float64, zoning.Reasons), make([]float64, zoning.Reasons)}
			lost[0][zoning.TooSteep], lost[1][zoning.TooSoft] = 0.5, 0.125*float64(i+k)
			m.Lots[i].Zones[k].LostAcres = lost
		}
	}
	return m
}

// summaryOf is the summary of maps, one after another.
func summaryOf(t *testing.T, maps ...*zoning.ZoneMap) map[string]any {
	t.Helper()
	c := NewCollection(maps[0].Fleet)
	for _, m := range maps {
		require.NoError(t, c.Add(m))
	}
	var b bytes.Buffer
	require.NoError(t, c.WriteGeoJSON(&b, func(func([]byte, error) bool) {}))
	var file struct{ Summary map[string]any }
	require.NoError(t, json.Unmarshal(b.Bytes(), &file))
	return file.Summary
}

func TestCollectionSumsWhatWasAskedBesideSlope(t *testing.T) {
	m := worked(t)
	var want bytes.Buffer
	require.NoError(t, GeoJSON(&want, m))
	var whole struct{ Summary map[string]any }
	require.NoError(t, json.Unmarshal(want.Bytes(), &whole))
	maps, _ := oneByOne(t, m)
	maps[0].Otherwise, maps[1].Otherwise = append([]float64{1}, m.Otherwise[1:]...), append([]float64{0.25}, make([]float64, len(m.Otherwise)-1)...)
	maps[1].Access.Pockets = nil
	got := summaryOf(t, maps...)
	for _, key := range []string{"ground", "acres_dry", "acres_wet", "lost_acres", "access", "cautions"} {
		require.NotNil(t, got[key], key)
		require.Equal(t, whole.Summary[key], got[key], key)
	}
	require.EqualValues(t, 1.25, got["acres_dry"].(map[string]any)["loader"])

	// One lot's way in was not asked for: then that of all was not.
	maps[1].Access = zoning.Access{}
	maps[1].Cautions = union(zoning.Cautions(measure.US), []string{zoning.Cautions(measure.US)[0], zoning.AccessNotChecked})
	got = summaryOf(t, maps...)
	require.False(t, got["access"].(map[string]any)["checked"].(bool))
	require.Subset(t, got["cautions"], []any{zoning.AccessNotChecked, zoning.NoWaysAsked})
	require.Len(t, got["cautions"], len(zoning.Cautions(measure.US))+2)
	require.Equal(t, zoning.Cautions(measure.US)[0], got["cautions"].([]any)[0])
}

func TestCollectionKeepsTheLargestPockets(t *testing.T) {
	m := worked(t)
	var maps []*zoning.ZoneMap
	for i := range 160 {
		one := *m
		one.Access.Pockets = []zoning.Pocket{{Acres: float64(i*37%160) / 10, At: orb.Point{float64(i), 0}}}
		maps = append(maps, &one)
	}
	pockets := summaryOf(t, maps...)["access"].(map[string]any)["pockets"].([]any)
	require.Len(t, pockets, mostPockets)
	for i, p := range pockets {
		require.Equal(t, fmt.Sprintf("%.1f", float64(159-i)/10), fmt.Sprintf("%.1f", p.(map[string]any)["acres"]))
	}
}
