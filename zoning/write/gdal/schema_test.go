package gdal

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"io"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/write"
)

// schemaMaps are a map by limits, and the same as planned where the boom alone comes, with a
// hazard of a machine and one of all; the last in metric units too.
func schemaMaps(t *testing.T) []*zoning.ZoneMap {
	t.Helper()
	zm := packageMap(t)
	zm.Hazards = []zoning.Hazard{
		{Kind: zoning.Drainage, Geometry: orb.LineString{{0, 0}, {0.0001, 0.0001}}, Words: "drains 3 acres"},
		{Kind: zoning.Depression, Geometry: orb.Point{0.0001, 0}, Words: "0.1 acres", Machine: "boom"},
	}
	planned, err := zm.AsPlanned(context.Background(), func(_, cell int) zoning.Mask {
		switch boom := zm.Cells.Masks[cell] & 0b10; {
		case boom == 0:
			return 0
		case cell%3 == 0:
			return zoning.WaitsDry
		default:
			return boom
		}
	})
	require.NoError(t, err)
	metric := *planned
	metric.Units = measure.Metric
	return []*zoning.ZoneMap{zm, planned, &metric}
}

// properties are what one file tells of one thing; what it leaves out is not in it.
type properties map[string]any

// Every writer tells the properties of the same list, with the same names, of the same
// types, and with the same values: limit_pct was 100 in three files and 60 in the fourth.
func TestEveryFileTellsTheSameProperties(t *testing.T) {
	for _, zm := range schemaMaps(t) {
		zones, hazards := geoJSONProperties(t, zm)
		for layer, of := range map[string]struct {
			list    []write.Property
			geoJSON []properties // none of lots: its features are zones and hazards
		}{
			write.ZonesLayer:   {write.ZoneProperties(zm.Units), zones},
			write.LotsLayer:    {write.LotProperties(zm), nil},
			write.HazardsLayer: {write.HazardProperties(), hazards},
			write.SpotsLayer:   {write.SpotProperties(), nil},
		} {
			byFile := map[string][]properties{
				"GeoPackage": packageProperties(t, zm, layer, of.list),
				"KML":        kmlProperties(t, zm, layer),
			}
			if of.geoJSON != nil {
				byFile["GeoJSON"] = of.geoJSON
			}
			switch layer {
			case write.ZonesLayer:
				byFile["CSV"] = csvProperties(t, of.list, func(w io.Writer) error { return write.ZonesCSV(w, zm) })
			case write.LotsLayer:
				byFile["CSV"] = csvProperties(t, of.list, func(w io.Writer) error { return write.LotsCSV(w, zm) })
			}
			want := byFile["GeoPackage"]
			require.NotEmpty(t, want, layer)
			for file, all := range byFile {
				require.Len(t, all, len(want), "%s in %s", layer, file)
				for i := range all {
					assert.Equal(t, told(t, of.list, want[i]), told(t, of.list, all[i]), "%s %d in %s", layer, i, file)
				}
			}
		}
	}
}

// told are the properties that a table has a form for, as one text each after their kind, so
// that files with types and files of text can be compared; a name that is not in the list
// fails.
func told(t *testing.T, list []write.Property, of properties) map[string]string {
	t.Helper()
	out := map[string]string{}
	known := map[string]bool{}
	for _, p := range list {
		known[p.Name] = true
		v, ok := of[p.Name]
		if !ok || v == nil || v == "" || p.Kind == write.Nested {
			continue
		}
		text, isText := v.(string)
		if number, ok := v.(float64); ok {
			assert.NotEqual(t, write.Text, p.Kind, p.Name)
			text = strconv.FormatFloat(math.Round(number*1e9)/1e9, 'f', -1, 64)
		} else {
			require.True(t, isText, "%s is a %T", p.Name, v)
		}
		switch p.Kind {
		case write.Whole:
			_, err := strconv.ParseInt(text, 10, 64)
			assert.NoError(t, err, p.Name)
		case write.Number:
			_, err := strconv.ParseFloat(text, 64)
			assert.NoError(t, err, p.Name)
		}
		out[p.Name] = text
	}
	for name := range of {
		assert.True(t, known[name], "%q is in no list", name)
	}
	return out
}

func geoJSONProperties(t *testing.T, zm *zoning.ZoneMap) (zones, hazards []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.GeoJSON(&b, zm))
	for _, p := range featureProperties(t, b.Bytes()) {
		for name, v := range p {
			_, isNumber := v.(float64)
			if v != nil && (strings.HasSuffix(name, "_pct") || name == "acres" || name == "feature_no") {
				assert.True(t, isNumber, name)
			}
		}
		if _, ok := p["hazard"]; ok {
			hazards = append(hazards, p)
		} else {
			zones = append(zones, p)
		}
	}
	return zones, hazards
}

func featureProperties(t *testing.T, text []byte) (out []properties) {
	t.Helper()
	var g struct {
		Features []struct{ Properties properties }
	}
	require.NoError(t, json.Unmarshal(text, &g))
	for _, f := range g.Features {
		out = append(out, f.Properties)
	}
	return out
}

var schemaSpots = []write.Spot{{Kind: write.FieldCheck, Name: "S01", Words: "measure", At: orb.Point{0.0001, 0}}}

// packageProperties reads a layer by GDAL's own way to GeoJSON, which keeps what is null, and
// compares the types of its columns with the list.
func packageProperties(t *testing.T, zm *zoning.ZoneMap, layer string, list []write.Property) []properties {
	t.Helper()
	_, file := packageOf(t, zm, schemaSpots)
	ds := opened(t, file)
	l := ds.LayerByName(layer)
	require.NotNil(t, l, layer)
	f := l.NextFeature()
	types := map[string]godal.FieldType{}
	for name, field := range f.Fields() {
		types[name] = field.Type()
	}
	f.Close()
	want := map[string]godal.FieldType{}
	for _, p := range list {
		if p.Kind != write.Nested {
			want[p.Name] = map[write.Kind]godal.FieldType{write.Text: godal.FTString, write.Whole: godal.FTInt64, write.Number: godal.FTReal}[p.Kind]
		}
	}
	assert.Equal(t, want, types, layer)
	to := filepath.Join(t.TempDir(), "out.geojson")
	require.NoError(t, godal.RegisterVector(godal.GeoJSON))
	out, err := ds.VectorTranslate(to, []string{"-lco", "SIGNIFICANT_FIGURES=17", layer}, godal.GeoJSON)
	require.NoError(t, err)
	require.NoError(t, out.Close())
	text, err := os.ReadFile(to)
	require.NoError(t, err)
	return featureProperties(t, text)
}

// kmlProperties are the ExtendedData of a layer's placemarks.
func kmlProperties(t *testing.T, zm *zoning.ZoneMap, layer string) (out []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write.KML(&b, zm, schemaSpots))
	var k struct {
		Document struct {
			Folders []struct {
				Name       string `xml:"name"`
				Placemarks []struct {
					Style string `xml:"styleUrl"`
					Data  []struct {
						Name  string `xml:"name,attr"`
						Value string `xml:"value"`
					} `xml:"ExtendedData>Data"`
				} `xml:"Placemark"`
			} `xml:"Folder"`
		}
	}
	require.NoError(t, xml.Unmarshal(b.Bytes(), &k))
	styles := map[string]string{write.ZonesLayer: "#band-", write.LotsLayer: "#boundary", write.HazardsLayer: "#hazard", write.SpotsLayer: "#spot"}
	for _, folder := range k.Document.Folders {
		for _, place := range folder.Placemarks {
			if strings.HasPrefix(place.Style, styles[layer]) {
				p := properties{}
				for _, d := range place.Data {
					p[d.Name] = d.Value
				}
				out = append(out, p)
			}
		}
	}
	return out
}

// csvProperties reads a table, whose columns are those of the list.
func csvProperties(t *testing.T, list []write.Property, to func(io.Writer) error) (out []properties) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, to(&b))
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	var names []string
	for _, p := range list {
		if p.Kind != write.Nested {
			names = append(names, p.Name)
		}
	}
	assert.Equal(t, names, rows[0])
	for _, row := range rows[1:] {
		p := properties{}
		for i, cell := range row {
			p[rows[0][i]] = cell
		}
		out = append(out, p)
	}
	return out
}

// The styles and the names of raster values call zones as the tables do.
func TestStylesAndRastersNameTheZonesOfTheTables(t *testing.T) {
	for _, zm := range schemaMaps(t) {
		var style, names bytes.Buffer
		require.NoError(t, write.SLD(&style, zm))
		require.NoError(t, write.BandNames(&names, zm))
		for i, b := range zm.Fleet.Bands() {
			assert.Contains(t, names.String(), "<F>"+b.Key+"</F>")
			assert.Equal(t, zm.View.Has(zm.Fleet, i), strings.Contains(style.String(), "<ogc:PropertyName>zone</ogc:PropertyName><ogc:Literal>"+b.Key+"</ogc:Literal>"), b.Key)
		}
	}
}
