package write_test

import (
	"context"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/palette"
	"github.com/acreband/acreband/zoning/write"
)

// bothViews are the made map by limits, and as planned where the crawler comes alone, works
// the ground north of a row, and south of another has to wait.
func bothViews(t *testing.T) map[string]*zoning.ZoneMap {
	t.Helper()
	m := newMap(t)
	m.zm.Cells, m.zm.Field = m.cells, m.field
	p, err := m.zm.AsPlanned(context.Background(), func(_, cell int) zoning.Mask {
		crawler := m.cells.Masks[cell] & 0b100
		switch row := cell / m.cells.Cols; {
		case crawler == 0:
			return 0
		case row < 8:
			return crawler
		case row > 13:
			return zoning.WaitsDry
		}
		return zoning.NeedsMachine
	})
	require.NoError(t, err)
	return map[string]*zoning.ZoneMap{"by limits": m.zm, "as planned": p}
}

// Every writer tells the same of the zones of either view: its words in the title or with
// each zone, the same bands, and acres that add up to the parcel's.
func TestWritersTellTheSameOfBothViews(t *testing.T) {
	for words, zm := range bothViews(t) {
		var g struct {
			Summary struct {
				View   string             `json:"view"`
				Parcel float64            `json:"parcel_acres"`
				Acres  map[string]float64 `json:"acres"`
				Limits map[string]float64 `json:"acres_by_limits"`
			} `json:"summary"`
			Features []struct {
				Properties map[string]any `json:"properties"`
			} `json:"features"`
		}
		require.NoError(t, json.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.GeoJSON(w, zm) }), &g))
		_, table := records(t, bytesOf(t, func(w io.Writer) error { return write.ZonesCSV(w, zm) }))
		heading, lots := records(t, bytesOf(t, func(w io.Writer) error { return write.LotsCSV(w, zm) }))
		var k kmlFile
		require.NoError(t, xml.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.KML(w, zm, nil) }), &k))
		var s sldText
		require.NoError(t, xml.Unmarshal(bytesOf(t, func(w io.Writer) error { return write.SLD(w, zm) }), &s))

		assert.Equal(t, words, g.Summary.View)
		assert.Equal(t, "Zones of 2 lots, "+words, k.Document.Name)
		assert.Contains(t, string(bytesOf(t, func(w io.Writer) error { return write.GPX(w, zm, nil) })), "<name>Zones of 2 lots, "+words+"</name>")
		assert.Contains(t, must(write.Zones(zm)).Words, words)
		require.Len(t, table, len(g.Features))
		columns := write.ZoneColumns(zm.Fleet)
		sum, at, byBand := 0.0, 0, map[string]float64{}
		for i, lot := range zm.Lots {
			assert.Equal(t, words, lots[i]["view"])
			for j, z := range lot.Zones {
				key := zm.Fleet.Bands()[z.Band].Key
				assert.Contains(t, heading, columns[z.Band]+"_acres")
				of := g.Features[at].Properties
				data := map[string]string{}
				for _, d := range k.Document.Folders[i].Placemarks[j].Data {
					data[d.Name] = d.Value
				}
				assert.Equal(t, []any{words, key}, []any{of["view"], of["zone"]})
				for _, name := range []string{"view", "zone", "acres", "sure_acres", "sight_acres", "limit_pct"} {
					told := ""
					if v, ok := of[name].(float64); ok {
						told = rounded(v)
					} else if v, ok := of[name].(string); ok {
						told = v
					}
					assert.Equal(t, told, table[at][name], "%s of %s in CSV", name, key)
					assert.Equal(t, told, data[name], "%s of %s in KML", name, key)
				}
				assert.Equal(t, rounded(z.Acres), rounded(of["acres"].(float64)))
				sum += z.Acres
				byBand[key] += z.Acres
				at++
			}
		}
		assert.InDelta(t, g.Summary.Parcel, sum, 1e-6)
		all := 0.0
		for key, acres := range g.Summary.Acres {
			assert.InDelta(t, byBand[key], acres, 1e-8, key)
			all += acres
		}
		assert.InDelta(t, g.Summary.Parcel, all, 1e-6)
		bands := len(zm.Fleet.Bands())
		if zm.View == zoning.ByLimits {
			bands -= 2
			assert.NotContains(t, heading, "needs_machine_acres")
			assert.Nil(t, g.Summary.Limits)
		} else {
			assert.Positive(t, byBand[zoning.WaitsDryKey])
			assert.Positive(t, byBand[zoning.NeedsMachineKey])
			assert.Zero(t, byBand["loader"], "it does not come")
		}
		assert.Len(t, g.Summary.Acres, bands)
		assert.Len(t, s.Rules, bands)
		for _, r := range s.Rules {
			for i, b := range zm.Fleet.Bands() {
				if fill, _ := palette.Flat(i, len(fleet)); r.Literal == b.Key {
					assert.Equal(t, fmt.Sprintf("#%02x%02x%02x", fill.R, fill.G, fill.B), r.Symbols[0].Fill[0].Value, b.Key)
				}
			}
		}
	}
}

// A raster has the bands of its view's zones, cell by cell, and the names beside it their
// acres.
func TestRastersOfBothViews(t *testing.T) {
	for words, zm := range bothViews(t) {
		counts := make([]int, 256)
		for _, b := range must(write.BandCells(zm, zm.Cells)) {
			counts[b]++
		}
		names := string(bytesOf(t, func(w io.Writer) error { return write.BandNames(w, zm) }))
		for i, b := range zm.Fleet.Bands() {
			acres := zm.BandAcres(len(zm.Fleet.Bands()))[i]
			assert.InDelta(t, acres, float64(counts[i])*100/4046.8564224, 0.5, "%s %s", b.Key, words)
			assert.Equal(t, acres > 0.5, counts[i] > 10, b.Key)
			assert.True(t, strings.Contains(names, "<F>"+b.Key+"</F>"), b.Key)
		}
	}
}
