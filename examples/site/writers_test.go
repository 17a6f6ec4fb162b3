package site_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/write"
	"github.com/acreband/acreband/zoning/write/gdal"
)

// properties are what a file tells of a zone or of a hazard, as text by name; what is not
// known, or of no concern, is left out.
type properties map[string]string

// A machine's limit was read from another field of it by each writer: an untethered
// crawler may work 60%, and a phone said 100%. Every property of every zone and hazard is
// the same in all files.
func TestEveryWriterTellsTheSame(t *testing.T) {
	for name, change := range map[string]func(*job){
		"dry":      func(*job) {},
		"wet":      func(j *job) { j.wet() },
		"margin":   func(j *job) { j.MarginPct = 3 },
		"cautious": func(j *job) { j.Cautious = true },
		"tether": func(j *job) {
			j.fleet[crawler].TetherBasis, j.fleet[crawler].TetherM, j.fleet[crawler].Anchor = "manual, page 12", 60, j.fleet[loader].Key
		},
		"tether, wet, cautious, margin": func(j *job) {
			j.fleet[crawler].TetherBasis, j.fleet[crawler].TetherM, j.fleet[crawler].Anchor = "manual, page 12", 60, j.fleet[loader].Key
			j.wet()
			j.Cautious, j.MarginPct = true, 2
		},
	} {
		t.Run(name, func(t *testing.T) {
			j := everything(t)
			change(j)
			m := j.mapped(t)
			zones, hazards := ofGeoJSON(t, m.ZoneMap)
			require.NotEmpty(t, zones)
			require.Len(t, hazards, len(m.Hazards))
			require.Greater(t, len(hazards), 10)

			assert.Equal(t, zones, ofCSV(t, m.ZoneMap), "CSV")
			inZones, inHazards := ofKML(t, m.ZoneMap)
			assert.Equal(t, zones, inZones, "KML")
			assert.Equal(t, hazards, inHazards, "KML")
			inZones, inHazards = ofGeoPackage(t, m.ZoneMap)
			assert.Equal(t, zones, inZones, "GeoPackage")
			assert.Equal(t, hazards, inHazards, "GeoPackage")

			var gpx, kml, style, table, page bytes.Buffer
			require.NoError(t, write.GPX(&gpx, m.ZoneMap, nil))
			require.NoError(t, write.KML(&kml, m.ZoneMap, nil))
			require.NoError(t, write.SLD(&style, m.ZoneMap))
			require.NoError(t, sheet.Table(&table, m.ZoneMap))
			require.NoError(t, (&sheet.Page{Map: m.ZoneMap, Grid: j.Elevation.Grid, Features: j.Features}).WriteHTML(&page))
			for _, h := range hazards {
				assert.Contains(t, readable(gpx.String()), h["words"]+". "+h["caution"])
			}
			for _, z := range zones {
				limit, ok := z["limit_pct"]
				if !ok {
					continue
				}
				assert.Contains(t, readable(style.String()), z["machine_name"]+", to "+limit+"%")
				assert.Contains(t, readable(kml.String()), "<p>Limit: "+limit+"%</p>")
				acres, err := strconv.ParseFloat(z["acres"], 64)
				require.NoError(t, err)
				row := rowOf(t, table.String(), z["zone"])
				assert.Contains(t, row, limit+"%")
				assert.Contains(t, row, text.Acres(acres, 1))
				assert.Contains(t, readable(page.String()), "limit: up to "+limit+"%")
			}
		})
	}
}

// wet makes the ground wet.
func (j *job) wet() { j.Options.Ground = zoning.Wet }

func readable(text string) string {
	return strings.NewReplacer("&#39;", "'", "&#34;", `"`, "&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(text)
}

// rowOf is the row of a band in a plain table.
func rowOf(t *testing.T, table, band string) []string {
	t.Helper()
	for line := range strings.Lines(table) {
		if fields := strings.Fields(line); len(fields) > 0 && fields[0] == band {
			return fields
		}
	}
	require.Fail(t, "no row", band)
	return nil
}

// inText writes a value in one way, however a format wrote it.
func inText(v any) string {
	switch v := v.(type) {
	case float64:
		return strconv.FormatFloat(math.Round(v*1e9)/1e9, 'f', -1, 64)
	case string:
		return v
	}
	return fmt.Sprint(v)
}

func ofGeoJSON(t *testing.T, m *zoning.ZoneMap) (zones, hazards []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.GeoJSON(&b, m))
	var c struct {
		Features []struct{ Properties map[string]any }
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &c))
	nested := map[string]bool{}
	for _, p := range write.ZoneProperties(measure.US) {
		nested[p.Name] = p.Kind == write.Nested
	}
	for _, f := range c.Features {
		one := properties{}
		for name, v := range f.Properties {
			if v != nil && !nested[name] {
				one[name] = inText(v)
			}
		}
		switch {
		case one["hazard"] != "":
			hazards = append(hazards, one)
		case one["zone"] != "": // the rest are lots
			zones = append(zones, one)
		}
	}
	return zones, hazards
}

func ofCSV(t *testing.T, m *zoning.ZoneMap) (zones []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.ZonesCSV(&b, m))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	for _, row := range rows[1:] {
		one := properties{}
		for i, cell := range row {
			if cell != "" {
				one[rows[0][i]] = cell
			}
		}
		zones = append(zones, one)
	}
	return zones
}

func ofKML(t *testing.T, m *zoning.ZoneMap) (zones, hazards []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.KML(&b, m, nil))
	for d := xml.NewDecoder(&b); ; {
		token, err := d.Token()
		if err == io.EOF {
			return zones, hazards
		}
		require.NoError(t, err)
		start, ok := token.(xml.StartElement)
		if !ok || start.Name.Local != "ExtendedData" {
			continue
		}
		var data struct {
			Data []struct {
				Name  string `xml:"name,attr"`
				Value string `xml:"value"`
			}
		}
		require.NoError(t, d.DecodeElement(&data, &start))
		one := properties{}
		for _, v := range data.Data {
			one[v.Name] = v.Value
		}
		switch {
		case one["hazard"] != "":
			hazards = append(hazards, one)
		case one["zone"] != "": // the rest are lots
			zones = append(zones, one)
		}
	}
}

// ofGeoPackage asks GDAL, which writes as GeoJSON what the layers hold.
func ofGeoPackage(t *testing.T, m *zoning.ZoneMap) (zones, hazards []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, gdal.GeoPackage(&b, m, nil))
	file := filepath.Join(t.TempDir(), "zones.gpkg")
	require.NoError(t, os.WriteFile(file, b.Bytes(), 0o666))
	require.NoError(t, godal.RegisterVector(godal.GeoJSON, godal.GeoPackage))
	ds, err := godal.Open(file, godal.VectorOnly())
	require.NoError(t, err)
	defer ds.Close()
	for layer, all := range map[string]*[]properties{write.ZonesLayer: &zones, write.HazardsLayer: &hazards} {
		out := filepath.Join(t.TempDir(), layer+".geojson")
		as, err := ds.VectorTranslate(out, []string{layer}, godal.GeoJSON)
		require.NoError(t, err)
		require.NoError(t, as.Close())
		written, err := os.ReadFile(out)
		require.NoError(t, err)
		var c struct {
			Features []struct{ Properties map[string]any }
		}
		require.NoError(t, json.Unmarshal(written, &c))
		for _, f := range c.Features {
			one := properties{}
			for name, v := range f.Properties {
				if v != nil {
					one[name] = inText(v)
				}
			}
			*all = append(*all, one)
		}
	}
	return zones, hazards
}
