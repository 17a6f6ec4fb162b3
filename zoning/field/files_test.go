package field_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/field/fieldfile"
)

// hillChecks are spots of the rolling hills, walked and sighted.
func hillChecks(t testing.TB) *field.Checks {
	g := groundOf(t, 240, 200, 1, 10.3, hills)
	g.SurePct = []float64{26, 36, 66}
	g.Lots[0].Lot = "Tarn & <Hollow>"
	return pick(t, g, field.Options{PerZone: 5})
}

func text(t testing.TB, write func(io.Writer) error) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, write(&b))
	return b.String()
}

func TestSameBytesEachRun(t *testing.T) {
	a, b := hillChecks(t), hillChecks(t)
	assert.Equal(t, text(t, a.WriteGPX), text(t, b.WriteGPX))
	assert.Equal(t, text(t, a.WriteGeoJSON), text(t, b.WriteGeoJSON))
	assert.Equal(t, text(t, a.WriteText), text(t, b.WriteText))
	assert.Equal(t, text(t, a.WriteCSV), text(t, b.WriteCSV))
}

// The order of elements that the GPX 1.1 schema demands of a waypoint
// (topografix.com/GPX/1/1/gpx.xsd, wptType).
var wptOrder = strings.Fields("ele time magvar geoidheight name cmt desc src link sym type fix sat hdop vdop pdop ageofdgpsdata dgpsid extensions")

func TestGPXFollowsItsSchema(t *testing.T) {
	c := hillChecks(t)
	var f struct {
		XMLName xml.Name
		Version string `xml:"version,attr"`
		Creator string `xml:"creator,attr"`
		Spots   []struct {
			Lat  float64                      `xml:"lat,attr"`
			Lon  float64                      `xml:"lon,attr"`
			Rest []struct{ XMLName xml.Name } `xml:",any"`
		} `xml:"wpt"`
	}
	require.NoError(t, xml.Unmarshal([]byte(text(t, c.WriteGPX)), &f))
	assert.Equal(t, xml.Name{Space: "http://www.topografix.com/GPX/1/1", Local: "gpx"}, f.XMLName)
	assert.Equal(t, "1.1", f.Version)
	assert.NotEmpty(t, f.Creator)
	require.Len(t, f.Spots, len(c.Spots))
	for i, w := range f.Spots {
		stand := c.Spots[i].Stand()
		assert.InDelta(t, stand[0], w.Lon, 1e-7)
		assert.InDelta(t, stand[1], w.Lat, 1e-7)
		last := -1
		for _, e := range w.Rest {
			at := indexOf(wptOrder, e.XMLName.Local)
			assert.Greater(t, at, last, "<%s> is out of order", e.XMLName.Local)
			last = at
		}
	}
}

func indexOf(list []string, s string) int {
	for i, v := range list {
		if v == s {
			return i
		}
	}
	return -1
}

// RFC 7946: a FeatureCollection of Points, longitude first, an id each.
func TestGeoJSONIsRead(t *testing.T) {
	c := hillChecks(t)
	var f struct {
		Type     string
		Features []struct {
			Type, ID   string
			Properties map[string]any
			Geometry   struct {
				Type        string
				Coordinates []float64
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(text(t, c.WriteGeoJSON)), &f))
	assert.Equal(t, "FeatureCollection", f.Type)
	require.Len(t, f.Features, len(c.Spots))
	for i, v := range f.Features {
		s := c.Spots[i]
		assert.Equal(t, "Feature", v.Type)
		assert.Equal(t, s.ID, v.ID)
		assert.Equal(t, "Point", v.Geometry.Type)
		stand := s.Stand()
		assert.InDeltaSlice(t, stand[:], v.Geometry.Coordinates, 1e-7)
		assert.Equal(t, s.Sight == nil, v.Properties["on_foot"])
		assert.Equal(t, s.Lot, v.Properties["lot"])
		assert.InDelta(t, s.MappedPct, v.Properties["mapped_pct"], 1e-3)
		assert.Nil(t, v.Properties["slope"])
		if s.Sight != nil {
			assert.Contains(t, v.Properties["do"], "Do not walk onto it. Sight it from the "+s.Sight.From)
		}
	}
}

func TestChecksComeBackFromGeoJSON(t *testing.T) {
	c := hillChecks(t)
	back, err := field.ReadChecks("checks.geojson", []byte(text(t, c.WriteGeoJSON)))
	require.NoError(t, err)
	assert.Equal(t, c.Bands, back.Bands)
	require.Len(t, back.Spots, len(c.Spots))
	for i, s := range c.Spots {
		b := back.Spots[i]
		assert.Equal(t, []any{s.ID, s.Lot, s.Band, s.LimitPct, s.Machines, s.Sight == nil}, []any{b.ID, b.Lot, b.Band, b.LimitPct, b.Machines, b.Sight == nil})
		assert.InDelta(t, s.MappedPct, b.MappedPct, 1e-3)
		assert.InDeltaSlice(t, s.At[:], b.At[:], 1e-7)
	}
	assert.Equal(t, text(t, c.WriteGeoJSON)[:200], text(t, back.WriteGeoJSON)[:200])
}

// reading is what was measured at the i-th spot of the round trips.
func reading(i int) float64 { return float64(10 + i) }

// Each way of giving readings back finds its spots: a renamed GPX waypoint, a
// comment, a moved waypoint without an id, the table filled in, the GeoJSON filled in.
func TestRoundTrips(t *testing.T) {
	c := hillChecks(t)
	gpx := text(t, c.WriteGPX)
	named, commented, moved := gpx, gpx, gpx
	filled := text(t, c.WriteGeoJSON)
	rows, err := csv.NewReader(strings.NewReader(text(t, c.WriteCSV))).ReadAll()
	require.NoError(t, err)
	for i, s := range c.Spots {
		name, pct := "<name>"+s.ID+"</name>", fmt.Sprintf("%g%%", reading(i))
		named = strings.Replace(named, name, "<name>"+s.ID+" "+pct+" by the oak</name>", 1)
		commented = strings.Replace(commented, name, name+"<cmt>"+pct+"</cmt>", 1)
		moved = strings.Replace(moved, name, "<name>"+pct+"</name>", 1)
		filled = strings.Replace(filled, `"slope":null`, `"slope":"`+pct+`"`, 1)
		rows[i+1][1] = pct
	}
	var table bytes.Buffer
	require.NoError(t, csv.NewWriter(&table).WriteAll(rows))
	for name, file := range map[string]string{"named": named, "commented": commented, "moved": moved, "filled": filled, "table": table.String()} {
		readings, err := field.ReadReadings(name, []byte(file))
		require.NoError(t, err, name)
		compared, err := c.Match(name, readings, nil)
		require.NoError(t, err, name)
		require.Len(t, compared, len(c.Spots), name)
		for i, s := range compared {
			assert.Equal(t, c.Spots[i].ID, s.ID, name)
			assert.Equal(t, reading(i), s.MeasuredPct, name)
			if name == "named" {
				assert.Equal(t, "by the oak", s.Note)
			}
		}
	}
	back, err := field.ReadChecks("filled", []byte(filled))
	require.NoError(t, err, "a list that was filled in is still a list")
	assert.Len(t, back.Spots, len(c.Spots))
	_, err = field.ReadReadings("gpx", []byte(gpx))
	assert.ErrorContains(t, err, "gpx: the file has no reading; fill in")
}

func TestReadingsWithoutHeadingAndByPlace(t *testing.T) {
	g := groundOf(t, 240, 200, 1, 10.3, hills)
	c := pick(t, g, field.Options{})
	r, err := field.ReadReadings("r.csv", []byte("\xef\xbb\xbfs01, 18deg ,wet\r\nS02,32 %\r\n\r\nS03,\r\n"))
	require.NoError(t, err)
	require.Len(t, r, 2)
	assert.Equal(t, "s01", r[0].ID)
	assert.InDelta(t, 32.4920, r[0].SlopePct, 1e-4) // tan 18°
	assert.Equal(t, field.Reading{Line: 2, ID: "S02", SlopePct: 32}, r[1])
	compared, err := c.Match("r.csv", append(r, field.Reading{Line: 9, ID: "S02", SlopePct: 35}), nil)
	require.NoError(t, err)
	require.Len(t, compared, 2)
	assert.Equal(t, 35.0, compared[1].MeasuredPct, "the steepest of two")
	assert.Equal(t, 2, compared[1].Readings)

	marked, err := field.ReadReadings("r.gpx", []byte(`<gpx><wpt lat="1" lon="2"><name>S01 18°</name></wpt></gpx>`))
	require.NoError(t, err)
	assert.Equal(t, []any{"S01", r[0].SlopePct}, []any{marked[0].ID, marked[0].SlopePct})

	lon, lat := g.Cells.Frame.LonLat(120.5, 100.5)
	r, err = field.ReadReadings("p.csv", fmt.Appendf(nil, "Lon,Lat,slope\n%.7f,%.7f,44%%\n", lon, lat))
	require.NoError(t, err)
	compared, err = c.Match("p.csv", r, g.At)
	require.NoError(t, err)
	require.Len(t, compared, 1)
	assert.Equal(t, bandKey(g, orb.Point{lon, lat}), compared[0].Band)
	assert.Equal(t, g.Field.Pct(120, 100), compared[0].MappedPct)
	_, err = c.Match("p.csv", r, nil)
	assert.ErrorContains(t, err, "p.csv:2: the reading at "+fmt.Sprintf("%.6f, %.6f", r[0].At[1], r[0].At[0])+" is of no spot")
}

// Every refusal names the file, the line, the value and the cure.
func TestReadingRefusals(t *testing.T) {
	point := func(properties string) string {
		return `{"type":"FeatureCollection","features":[` + "\n" +
			`{"type":"Feature","properties":` + properties + `,"geometry":{"type":"Point","coordinates":[0,0]}}]}`
	}
	wpt := func(inner string) string {
		return "<gpx version=\"1.1\">\n<wpt lat=\"1\" lon=\"2\">" + inner + "</wpt></gpx>"
	}
	for _, c := range []struct{ file, want string }{
		{"id,slope\nS01,32\n", `f:2: reading "32" has no unit; write 32% for percent or 32deg for degrees`},
		{"id,slope\n\nS01,steep\n", `f:3: reading "steep" is not a slope; write a slope with its unit`},
		{"id,slope\nS01,-3%\n", `f:2: reading "-3%" is below zero`},
		{"id,slope\nS01,95deg\n", `f:2: reading "95deg" is not below 90deg`},
		{"id,slope\n,32%\n", "f:2: the reading 32% is of no spot; give the id of a spot, or lat and lon"},
		{"slope,lat,lon\n32%,91,0\n", `f:2: lat "91", lon "0" is no place; give both in degrees`},
		{"slope,lat,lon\n32%,NaN,0\n", `f:2: lat "NaN", lon "0" is no place`},
		{"id,slope\n\"S01,3\n", "f:2: this is no comma-separated row"},
		{"", "f: the file has no reading; fill in the column slope"},
		{point(`{"id":"S01","slope":32}`), `f:2: the property slope is 32; write it as text with its unit, "32%" or "18deg"`},
		{point(`{"id":"S01","slope":"32"}`), `f:2: reading "32" has no unit`},
		{`{"type":"Feature"}`, "f:1: the file is JSON but no FeatureCollection; export"},
		{`{"type":"FeatureCollection","features":[{]}`, "f:1: the GeoJSON file breaks off or is damaged"},
		{strings.Replace(point(`{}`), "[0,0]", "[null,0]", 1), "f:2: the geometry cannot be read: a position needs"},
		{strings.Replace(point(`{}`), "[0,0]", "[200,0]", 1), "f:2: the geometry reaches from 200, 0 to 200, 0, which is not on earth; give WGS84"},
		{wpt("<name>S01</name><desc>Measured: 32</desc>"), `f:2: reading "32" has no unit`},
		{wpt("<name>S01 32</name>"), `f:2: reading "32" has no unit`},
		{wpt("<name>S01</name><cmt>32</cmt>"), `f:2: reading "32" has no unit`},
		{wpt("<name>Gate 2</name>"), "f: the file has no reading"},
		{wpt("<name>S01 -4%</name>"), `f:2: reading "-4%" is below zero`},
		{"<gpx><wpt lat=\"95\" lon=\"2\"/></gpx>", "f:1: lat 95, lon 2 is no spot on earth; give degrees"},
		{"<gpx><wpt lat=\"5\"/></gpx>", "f:1: a spot lacks lat or lon; export it again"},
		{"<kml/>", "f:1: the file is XML but no GPX: it begins with <kml>"},
		{"<gpx>\n<wpt lat=\"1\"", "f:2: the GPX file breaks off or is damaged"},
		{`<!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx><wpt lat="1" lon="2"><name>&x;</name></wpt></gpx>`, "f:1: it declares entities of its own, which are not taken"},
		{`<gpx><wpt lat="1" lon="2"><name>&x;</name></wpt></gpx>`, "f:1: <wpt> cannot be read"},
	} {
		_, err := field.ReadReadings("f", []byte(c.file))
		require.Error(t, err, c.file)
		assert.Contains(t, err.Error(), c.want)
		var e *fieldfile.Error
		require.ErrorAs(t, err, &e)
		assert.NotEmpty(t, e.Cure)
	}
	checks := hillChecks(t)
	_, err := checks.Match("f", []field.Reading{{Line: 4, ID: "S99"}}, nil)
	assert.ErrorContains(t, err, `f:4: no spot has the id "S99"; use an id of the list`)
}

func TestReadChecksRefuses(t *testing.T) {
	good := text(t, hillChecks(t).WriteGeoJSON)
	for _, c := range []struct{ find, put, want string }{
		{`"checks"`, `"cheques"`, "no member checks"},
		{`"no-machine"`, `"none"`, "no member checks"}, // a reading may be over every limit
		{`"mapped_pct":[0-9.]+`, `"mapped_pct":null`, "this is no spot to measure"},
		{`"zone":"loader"`, `"zone":"mower"`, `spot S01 is of zone "mower", which the file does not list`},
		{`"S02"`, `"S01"`, "spot S01 is there twice"},
	} {
		file := regexp.MustCompile(c.find).ReplaceAllString(good, c.put)
		_, err := field.ReadChecks("f", []byte(file))
		require.ErrorContains(t, err, c.want)
		assert.ErrorContains(t, err, "give the checks.geojson that acreband checks wrote")
	}
	_, err := field.ReadChecks("f", []byte(strings.Replace(good, `"schema":2`, `"schema":1`, 1)))
	assert.ErrorContains(t, err, "f:1: the file is of schema 1, and this program reads schema 2; pick the spots again with acreband checks")
}

func TestPrintedList(t *testing.T) {
	c := hillChecks(t)
	out := text(t, c.WriteText)
	first, _, _ := strings.Cut(out, "\n")
	assert.Regexp(t, `^\d+ spots to measure with a clinometer, of the map by limits, [1-9]\d* of them sighted from toe or crest$`, first)
	for _, line := range strings.Split(out, "\n") {
		assert.LessOrEqual(t, len([]rune(line)), 96, line)
	}
	for _, s := range c.Spots {
		assert.Contains(t, out, "\n"+s.ID+" ")
	}
	assert.Contains(t, out, "Walk onto no ground steeper than 50% (dry ground)")
	assert.Contains(t, out, "over 10 ft, a machine's length")
}
