package page

import (
	"bytes"
	"encoding/json"
	"mime/multipart"
	"regexp"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/measure"
	"github.com/acreband/acreband/zoning/sheet"
)

// usWords are words of the US system that no answer in metric holds. Figures as a fleet file has
// them are echoed as they are written there.
var (
	usWords = regexp.MustCompile(`(?i)\b(?:acres?|ac|ft|feet|miles?|mi|mph|lbs?|pounds|psi|inch(?:es)?)\b`)
	asFiled = regexp.MustCompile(`(?i)\$?[\d.,]+(?:/ac|/mi|ac/h|ac/day|mi|mph|lb|ft)\b|\bhaul_miles\b`)
)

// speaksMetric asserts that a text has no word of the US system.
func speaksMetric(t testing.TB, where, text string) {
	t.Helper()
	text = asFiled.ReplaceAllString(text, "")
	for _, at := range usWords.FindAllStringIndex(text, 3) {
		assert.Fail(t, where+" speaks of "+text[at[0]:at[1]], text[max(0, at[0]-60):min(len(text), at[1]+30)])
	}
}

// words are all the texts in JSON, without its keys.
func words(v any) string {
	switch v := v.(type) {
	case string:
		return v + "\n"
	case []any:
		var b strings.Builder
		for _, x := range v {
			b.WriteString(words(x))
		}
		return b.String()
	case map[string]any:
		var b strings.Builder
		for k, x := range v {
			if k != "plan" && k != "figure" { // a file's, which the page does not set
				b.WriteString(words(x))
			}
		}
		return b.String()
	}
	return ""
}

func (s *visit) told(body []byte) string {
	s.Helper()
	all := bytes.Split(bytes.TrimSpace(body), []byte("\n"))
	var v any
	require.NoError(s, json.Unmarshal(all[len(all)-1], &v))
	return words(v)
}

// clearedOf are hectares that are cleared, and of how many.
var clearedOf = regexp.MustCompile(`[\d.]+ of ([\d.]+) hectares`)

// A page was told in acres alone: metric was refused.
func TestAMapIsToldInEitherSystem(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("lots.geojson", []byte(threeLots(t)))
	assert.Equal(t, "us", a.Units)
	status, body := s.set(a.ID, `{"units":"metric"}`)
	require.Equal(t, 200, status, "%s", body)
	speaksMetric(t, "the answer", s.told(body))
	m := s.parse(body)
	assert.Equal(t, "metric", m.Units)
	require.Len(t, m.Lots, 3)
	for i, l := range m.Lots {
		assert.InDelta(t, figure(t, a.Lots[i].Acres)*0.40468564224, figure(t, l.Acres), 0.0026, l.Name) // of 0.005 acres that are rounded off
	}
	// The figures are the command's: of the same map, in the same units.
	zm := s.kept(a.ID).latest()
	var said strings.Builder
	brief := sheet.Brief{Map: zm.Map, Plan: zm.Plan}
	require.NoError(t, brief.Write(&said))
	assert.Contains(t, said.String(), clearedOf.FindStringSubmatch(m.Says)[1]+" hectares")
	assert.Contains(t, said.String(), clearedOf.FindStringSubmatch(m.Says)[0])
	for _, path := range []string{"section?lon=%[1]v", "covers", "curve?machine=track-loader&limit=limit", "lines?x=0&y=0&m=1&w=600&h=600"} {
		path = strings.ReplaceAll(path, "lon=%[1]v", ends(t, [2]float64{150, 200}, [2]float64{400, 200}))
		status, body := s.get("/v1/maps/" + a.ID + "/" + path)
		require.Equal(t, 200, status, "%s", body)
		speaksMetric(t, path, s.told(body))
		assert.Regexp(t, `\bha\b|\bm\b|hectares`, s.told(body), path)
	}
	at := onGround(t, orb.Point{150, 150})[0]
	_, body = s.get("/v1/maps/" + a.ID + "/spot?lon=" + plainFigure(at[0]) + "&lat=" + plainFigure(at[1]))
	speaksMetric(t, "spot", s.told(body))
	_, body = s.get("/v1/maps/" + a.ID + "/files/zones.geojson")
	assert.Contains(t, string(body), `"units": "metric"`)

	// Back in acres it is what it was.
	status, body = s.set(a.ID, `{"units":"us"}`)
	require.Equal(t, 200, status)
	again := s.parse(body)
	again.Revision = a.Revision
	assert.Equal(t, a, again)
	far := strings.Replace(string(collection(t, "x", onGround(t, orb.Point{9000, 300})[0])), `"lot":"x"`, `"kind":"staging"`, 1)
	for told, want := range map[string]string{"us": "more than 2 miles from the lots", "metric": "more than 3.22 km from the lots"} {
		status, body = s.set(a.ID, `{"units":"`+told+`","site":`+far+`}`)
		assert.Equal(t, 422, status)
		assert.Contains(t, s.trouble(body).Error, want)
	}
	status, body = s.set(a.ID, `{"units":"imperial"}`)
	assert.Equal(t, 422, status)
	assert.Equal(t, "units", s.trouble(body).Field)
	assert.Equal(t, `units "imperial"; write us or metric`, s.trouble(body).Error)
}

func ends(t *testing.T, from, to [2]float64) string {
	p := onGround(t, from, to)
	return "lon=" + plainFigure(p[0][0]) + "&lat=" + plainFigure(p[0][1]) + "&toLon=" + plainFigure(p[1][0]) + "&toLat=" + plainFigure(p[1][1])
}

// What is typed is read in the units of the page, or in those that it names; a figure that is not
// touched stays the same, to the bit.
func TestFiguresTypedInMetric(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	of := func(a answer, figure string) costOf {
		for _, c := range a.Costs {
			if c.Machine == "" && c.Figure == figure {
				return c
			}
		}
		return costOf{}
	}
	status, body := s.set(a.ID, `{"units":"metric"}`)
	require.Equal(t, 200, status, "%s", body)
	m := s.parse(body)
	file := s.config.Book.Job
	assert.Equal(t, file.HandPerAcre, s.kept(a.ID).latest().book.Job.HandPerAcre)
	assert.Equal(t, "hand work, a hectare", of(m, "hand_work").Words)
	assert.InDelta(t, file.HandPerAcre.High/0.40468564224, figure(t, strings.TrimSuffix(strings.Split(of(m, "hand_work").Value, ", ")[2], "/ha")), 0.006)
	assert.InDelta(t, file.HaulMiles*1.609344, figure(t, strings.TrimSuffix(of(m, "haul_miles").Value, "km")), 0.006)
	assert.Equal(t, of(m, "haul_miles").Value, of(m, "haul_miles").File)

	for worth, want := range map[string]float64{"1500": 1500 * 0.40468564224, "$1,500/ha": 1500 * 0.40468564224, "1500/ac": 1500} {
		status, body = s.set(a.ID, `{"units":"metric","worth":"`+worth+`"}`)
		require.Equal(t, 200, status, "%s", body)
		assert.InDelta(t, want, s.kept(a.ID).latest().book.Job.WorthPerAcre, 1e-9, worth)
		assert.InDelta(t, want/0.40468564224, figure(t, s.parse(body).Terms.Worth), 0.006, worth)
		speaksMetric(t, worth, s.told(body))
	}
	status, body = s.set(a.ID, `{"units":"metric","costs":[{"machine":"","figure":"haul_miles","value":"100km"},{"machine":"","figure":"hand_work","value":"$9000/ha"}]}`)
	require.Equal(t, 200, status, "%s", body)
	assert.InDelta(t, 100/1.609344, s.kept(a.ID).latest().book.Job.HaulMiles, 1e-12)
	assert.Equal(t, []string{"100km", "$9000/ha"}, []string{of(s.parse(body), "haul_miles").Value, of(s.parse(body), "hand_work").Value})
	for set, want := range map[string]string{
		`"costs":[{"machine":"","figure":"haul_miles","value":"100"}]`: `haul_miles: "100" has no unit; write it with its unit, such as 50km`,
		`"worth":"much"`: `worth: "much" is not in the unit that is wanted; write it with its unit, such as $8500/ha`,
		`"limits":[{"machine":"track-loader","limit":"limit","value":"4:1"}]`: `"4:1" rises more than it runs: write the rise first, as 1:4 for one up in four along, or a percentage`,
	} {
		status, body = s.set(a.ID, `{"units":"metric",`+set+`}`)
		assert.Equal(t, 422, status)
		assert.Equal(t, want, s.trouble(body).Error)
	}
}

// What is told of a boundary when it is read followed no switch. 0.01 acres are lost where its line
// crosses itself; a track that ends 12 m from its start is closed.
func TestWhatWasReadIsToldInEitherSystem(t *testing.T) {
	s := serve(t, func(c *Config) { c.Judge.Units = measure.Metric })
	ring := onGround(t, orb.Point{96, 96}, orb.Point{96, 523}, orb.Point{523, 523}, orb.Point{523, 96}, orb.Point{108, 96})
	var gpx strings.Builder
	gpx.WriteString(`<gpx version="1.1" creator="x" xmlns="http://www.topografix.com/GPX/1/1"><trk><name>Walk</name><trkseg>`)
	for _, p := range ring {
		gpx.WriteString(`<trkpt lat="` + plainFigure(p[1]) + `" lon="` + plainFigure(p[0]) + `"/>`)
	}
	gpx.WriteString(`</trkseg></trk></gpx>`)
	a := s.mapped("walk.gpx", []byte(gpx.String()))
	assert.Equal(t, "metric", a.Units, "as the server was started")
	assert.Contains(t, strings.Join(a.Warnings, "\n"), "closed by a straight edge of 12.0 m")
	status, body := s.set(a.ID, `{"units":"us"}`)
	require.Equal(t, 200, status, "%s", body)
	assert.Contains(t, strings.Join(s.parse(body).Warnings, "\n"), "closed by a straight edge of 39 ft")
	assert.NotContains(t, strings.Join(s.parse(body).Warnings, "\n"), "12.0 m")

	var form bytes.Buffer
	w := multipart.NewWriter(&form)
	require.NoError(t, w.WriteField(unitsPart, "us"))
	f, err := w.CreateFormFile(boundaryPart, "walk.gpx")
	require.NoError(t, err)
	_, err = f.Write([]byte(gpx.String()))
	require.NoError(t, err)
	require.NoError(t, w.Close())
	status, body = s.do("POST", "/v1/maps", w.FormDataContentType(), form.Bytes())
	require.Equal(t, 200, status, "%s", body)
	assert.Equal(t, "us", s.parse(body).Units)
	assert.Contains(t, strings.Join(s.parse(body).Warnings, "\n"), "39 ft")

	status, body = s.get("/v1/start")
	require.Equal(t, 200, status)
	var began start
	require.NoError(t, json.Unmarshal(body, &began))
	assert.Equal(t, "metric", began.Told)
	assert.InDelta(t, 4046.8564224, began.Units[0].AreaM2, 1e-9)
	assert.InDelta(t, 10000, began.Units[1].AreaM2, 1e-9)
	assert.Equal(t, []float64{0.3048, 1}, []float64{began.Units[0].LengthM, began.Units[1].LengthM})
	assert.Equal(t, []string{"50ft", "15.3m"}, []string{began.Units[0].Around, began.Units[1].Around}, "never less than it is")
}

// A keep-clear distance is told in the page's units, however it was typed.
func TestKeepClearDistanceFollowsTheUnits(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	site := strings.Replace(string(collection(t, "x", onGround(t, orb.Point{300, 300})[0])), `"lot":"x"`, `"kind":"no-go","setback":"50ft"`, 1)
	for told, want := range map[string]string{"us": "50 ft", "metric": "15.3 m"} {
		status, body := s.set(a.ID, `{"units":"`+told+`","site":`+site+`}`)
		require.Equal(t, 200, status, "%s", body)
		assert.Equal(t, []string{want}, s.parse(body).Put)
	}
}
