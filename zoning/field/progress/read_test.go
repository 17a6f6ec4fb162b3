package progress

import (
	"testing"
	"time"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/field/fieldfile"
)

var options = Options{Machines: []string{"loader", "crawler"}, CutWidthM: 2}

func shape(properties, geometry string) string {
	return `{"type":"FeatureCollection","features":[` + "\n" + `{"type":"Feature","properties":` + properties + `,"geometry":` + geometry + `}]}`
}

const (
	triangle = `{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}`
	line     = `{"type":"LineString","coordinates":[[0,0],[0,0.001]]}`
)

func TestReadShapes(t *testing.T) {
	w, err := ReadWorked("f", []byte(shape(`{"date":"2026-05-04","machine":"Loader","hours":6.5}`, triangle)), options)
	require.NoError(t, err)
	assert.Equal(t, []Worked{{Line: 2, Day: "2026-05-04", Machine: "loader", Hours: 6.5, CutWidthM: 2,
		Ground: orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}}}}, w)
	w, err = ReadWorked("f", []byte(shape(`{"date":"2026-05-04","machine":"crawler","hours":"2h","cut_width":"6ft"}`, line)), options)
	require.NoError(t, err)
	assert.InDelta(t, 1.8288, w[0].CutWidthM, 1e-12)
	assert.Equal(t, 2.0, w[0].Hours)
	assert.Equal(t, orb.MultiLineString{{{0, 0}, {0, 0.001}}}, w[0].Tracks)
}

// Times are UTC: at 84° W, where noon is 18:00 UTC to the hour, an evening's work is
// of the day before its UTC date. The day ends at midnight there.
func TestTracksByLocalDay(t *testing.T) {
	gpx := `<gpx><trk><name>Ridge</name><type>crawler</type>
<trkseg><trkpt lat="36" lon="-84"><time>2026-05-05T01:00:00Z</time></trkpt><trkpt lat="36.0001" lon="-84"><time>2026-05-05T02:30:00Z</time></trkpt></trkseg>
<trkseg><trkpt lat="36" lon="-84"><time>2026-05-05T05:50:00Z</time></trkpt><trkpt lat="36.0001" lon="-84"><time>2026-05-05T05:59:00Z</time></trkpt>
<trkpt lat="36.0002" lon="-84"><time>2026-05-05T06:01:00Z</time></trkpt></trkseg></trk></gpx>`
	w, err := ReadWorked("f", []byte(gpx), options)
	require.NoError(t, err)
	require.Len(t, w, 2)
	assert.Equal(t, "2026-05-04", w[0].Day)
	assert.Equal(t, "crawler", w[0].Machine)
	assert.InDelta(t, 1.5+0.15, w[0].Hours, 1e-9)
	assert.True(t, w[0].Recorded)
	assert.Len(t, w[0].Tracks, 2)
	assert.Equal(t, "2026-05-05", w[1].Day)
	assert.Equal(t, orb.MultiLineString{{{-84, 36.0002}}}, w[1].Tracks)

	o := options
	o.Zone = time.UTC
	w, err = ReadWorked("f", []byte(gpx), o)
	require.NoError(t, err)
	require.Len(t, w, 1)
	assert.Equal(t, "2026-05-05", w[0].Day)
}

// A track without times is of the day and machine that are given for it.
func TestTrackWithoutTimes(t *testing.T) {
	o := options
	o.Day, o.Machine = "2026-05-06", "loader"
	gpx := []byte(`<gpx><trk><trkseg><trkpt lat="1" lon="2"/><trkpt lat="1" lon="2.001"/></trkseg></trk></gpx>`)
	w, err := ReadWorked("f", gpx, o)
	require.NoError(t, err)
	assert.Equal(t, []Worked{{Line: 1, Day: "2026-05-06", Machine: "loader", CutWidthM: 2, Tracks: orb.MultiLineString{{{2, 1}, {2.001, 1}}}}}, w)
	o.Day = "today"
	_, err = ReadWorked("f", gpx, o)
	assert.ErrorContains(t, err, `f: "today" is no day; write the day as 2026-05-04`)
}

func TestReadHours(t *testing.T) {
	h, err := ReadHours("f", []byte("machine,date,hours\ncrawler,2026-05-04,6.5\n"), options)
	require.NoError(t, err)
	assert.Equal(t, []Hours{{2, "2026-05-04", "crawler", 6.5}}, h)
	h, err = ReadHours("f", []byte("2026-05-04,loader,8h"), options)
	require.NoError(t, err)
	assert.Equal(t, []Hours{{1, "2026-05-04", "loader", 8}}, h)
}

func TestReadRefuses(t *testing.T) {
	for _, c := range []struct{ file, want string }{
		{"day,acres", "f: the file is neither GPX nor GeoJSON; give GPX tracks"},
		{shape(`{"date":"5/4/2026","machine":"loader"}`, triangle), `f:2: "5/4/2026" is no day; write the day as 2026-05-04`},
		{shape(`{"machine":"loader"}`, triangle), `f:2: no day is told; write its date such as 2026-05-04, or give day`},
		{shape(`{"date":"2026-05-04"}`, triangle), `f:2: no machine is told; write one of loader, crawler, or give machine`},
		{shape(`{"date":"2026-05-04","machine":"mower"}`, triangle), `f:2: machine "mower" is not in the fleet; write one of loader, crawler`},
		{shape(`{"date":"2026-05-04","machine":"loader","hours":25}`, triangle), `f:2: "25" are no hours of a day; write hours above 0`},
		{shape(`{"date":"2026-05-04","machine":"loader","hours":"NaN"}`, triangle), `f:2: "NaN" are no hours of a day`},
		{shape(`{"date":20260504,"machine":"loader"}`, triangle), "f:2: the property date is 20260504; write it as text"},
		{shape(`{"date":"2026-05-04","machine":"loader","cut_width":"6"}`, line), `f:2: cut_width "6" is not a length with a unit; write a length with its unit`},
		{shape(`{"date":"2026-05-04","machine":"loader","cut_width":"90ft"}`, line), "f:2: a track has the cutting width 27.4 m; give the cutting width of the head, from 1ft to 50ft"},
		{shape(`{}`, `{"type":"Point","coordinates":[0,0]}`), "f: the file has no worked ground; give polygons"},
		{shape(`{}`, `{"type":"Circle"}`), "f:2: the geometry cannot be read: Circle is neither a point"},
		{"<gpx>\n<trk><name>loader</name><trkseg><trkpt lat=\"1\" lon=\"2\"/></trkseg></trk></gpx>", `f:2: track "loader" has no times; say on which day it was worked (day)`},
		{"<gpx>\n<trk><name>x</name></trk></gpx>", `f:2: machine "x" is not in the fleet`},
		{"<gpx><trk><type>loader</type><trkseg><trkpt lat=\"1\" lon=\"2\"><time>noon</time></trkpt></trkseg></trk></gpx>", `f:1: a spot of the track has the time "noon"; write times as`},
	} {
		_, err := ReadWorked("f", []byte(c.file), options)
		require.ErrorContains(t, err, c.want)
		var e *fieldfile.Error
		require.ErrorAs(t, err, &e)
	}
	for _, c := range []struct{ file, want string }{
		{"date,machine,hours\n2026-05-04,loader,\n", "f:2: 2026-05-04, loader has no hours; fill in the column hours"},
		{"date,machine,hours\n2026-05-04,loader,-3\n", `f:2: "-3" are no hours of a day`},
		{"", "f: the file has no hours; write lines such as 2026-05-04,loader,6.5"},
	} {
		_, err := ReadHours("f", []byte(c.file), options)
		require.ErrorContains(t, err, c.want)
	}
}

// FuzzRead: no file makes the readers panic; what they accept is of a day and of a
// machine of the fleet, and can be tallied.
func FuzzRead(f *testing.F) {
	for _, s := range []string{
		shape(`{"date":"2026-05-04","machine":"loader","hours":6.5}`, triangle),
		shape(`{"date":"2026-05-04","machine":"loader","cut_width":"6ft"}`, line),
		`<gpx><trk><type>loader</type><trkseg><trkpt lat="0" lon="0"><time>2026-05-05T01:00:00Z</time></trkpt><trkpt lat="0" lon="0.0001"><time>2026-05-05T01:10:00Z</time></trkpt></trkseg></trk></gpx>`,
		"date,machine,hours\n2026-05-04,loader,8\n",
	} {
		f.Add([]byte(s))
	}
	m, _ := jobOf(f)
	f.Fuzz(func(t *testing.T, data []byte) {
		worked, err := ReadWorked("f", data, options)
		if err != nil {
			var e *fieldfile.Error
			require.ErrorAs(t, err, &e)
			assert.NotEmpty(t, e.Cure)
			worked = nil
		}
		hours, err := ReadHours("f", data, options)
		if err != nil {
			hours = nil
		}
		if len(worked)+len(hours) == 0 {
			return // what is laid on the map takes a hundred times what reading does
		}
		r, err := Tally(m, worked, hours, nil)
		require.NoError(t, err)
		for _, s := range r.Shifts {
			assert.Contains(t, options.Machines, s.Machine)
			assert.Len(t, s.Day, 10)
		}
	})
}
