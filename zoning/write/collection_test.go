package write

import (
	"bytes"
	"encoding/json"
	"fmt"
	"iter"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// oneByOne is a map's lots as maps of one lot each, and their features as pieces.
func oneByOne(t *testing.T, m *zoning.ZoneMap) (maps []*zoning.ZoneMap, features iter.Seq2[[]byte, error]) {
	var pieces [][]byte
	for _, lot := range m.Lots {
		one := *m
		one.Lots = []zoning.LotMap{lot}
		maps = append(maps, &one)
		var b bytes.Buffer
		require.NoError(t, Features(&b, &one))
		pieces = append(pieces, b.Bytes())
	}
	return maps, func(yield func([]byte, error) bool) {
		for _, p := range pieces {
			if !yield(p, nil) {
				return
			}
		}
	}
}

func TestCollectionOfOneLotIsItsMap(t *testing.T) {
	m := writerMap(t)
	m.Lots, m.Sources = m.Lots[:1], m.Sources[:1]
	m.Lots[0].Notes = nil
	var want, got bytes.Buffer
	require.NoError(t, GeoJSON(&want, m))
	maps, features := oneByOne(t, m)
	c := NewCollection(m.Fleet)
	c.Add(maps[0])
	require.NoError(t, c.WriteGeoJSON(&got, features))
	require.Equal(t, want.String(), got.String())
}

func TestCollectionSumsLots(t *testing.T) {
	m := writerMap(t)
	m.Warnings = []string{"dead flat"}
	var want, got bytes.Buffer
	require.NoError(t, GeoJSON(&want, m))
	maps, features := oneByOne(t, m)
	maps[1].SourceAcres = []float64{0.25, maps[1].Lots[0].Acres - 0.25}
	c := NewCollection(m.Fleet)
	for _, one := range maps {
		c.Add(one)
	}
	require.NoError(t, c.WriteGeoJSON(&got, features))

	type file struct {
		Summary  map[string]any
		Features []json.RawMessage
	}
	var whole, summed file
	require.NoError(t, json.Unmarshal(want.Bytes(), &whole))
	require.NoError(t, json.Unmarshal(got.Bytes(), &summed))
	require.Equal(t, whole.Features, summed.Features)
	for _, key := range []string{"parcel_acres", "acres", "procedure_acres", "tether_acres", "machines", "cautions", "assumed"} {
		require.Equal(t, whole.Summary[key], summed.Summary[key], key)
	}
	require.EqualValues(t, 2, summed.Summary["lots"])
	require.Equal(t, []any{"2 lots: dead flat"}, summed.Summary["warnings"])
	elevation := summed.Summary["dtm"].([]any)
	require.InDelta(t, m.Lots[0].Acres+0.25, elevation[0].(map[string]any)["acres"], 1e-9)
	require.InDelta(t, m.Lots[1].Acres-0.25, elevation[1].(map[string]any)["acres"], 1e-9)
}

func TestCollectionKeepsTheMostFrequentWarnings(t *testing.T) {
	m := writerMap(t)
	c := NewCollection(m.Fleet)
	for i := range 60 {
		one := *m
		one.Lots = m.Lots[:1]
		one.Warnings = []string{fmt.Sprintf("lot %02d is odd", i), "all are coarse"}
		c.Add(&one)
	}
	texts := c.listed()
	require.Len(t, texts, 51)
	require.Equal(t, "60 lots: all are coarse", texts[0])
	require.Equal(t, "lot 00 is odd", texts[1])
	require.Equal(t, "and 11 more, each told with its lot", texts[50])
}
