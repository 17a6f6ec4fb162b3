package page

import (
	"bytes"
	"encoding/json"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/text"
	"github.com/acreband/acreband/zoning/write"
)

// commandLine maps as `acreband map` does and gives its two files.
func commandLine(t *testing.T, q read.Request, machines []zoning.Machine, o mapping.Options) (geojson, png []byte) {
	t.Helper()
	q.Elevation = []string{elevation(t)}
	g, err := read.Prepare(t.Context(), q)
	require.NoError(t, err)
	zm, err := mapping.Map(t.Context(), g, machines, o)
	require.NoError(t, err)
	zm.Access.Proposed, err = plan.ProposeUnloads(t.Context(), g, zm, nil)
	require.NoError(t, err)
	var a, b bytes.Buffer
	require.NoError(t, write.GeoJSON(&a, zm))
	require.NoError(t, sheet.Picture(&b, g.Elevation.Grid, zm))
	return a.Bytes(), b.Bytes()
}

func (s *visit) files(id string) (geojson, png []byte) {
	s.Helper()
	status, geojson := s.get("/v1/maps/" + id + "/files/zones.geojson")
	require.Equal(s, 200, status)
	status, png = s.get("/v1/maps/" + id + "/files/zones.png")
	require.Equal(s, 200, status)
	return geojson, png
}

func TestSameBytesAsTheCommandLine(t *testing.T) {
	s := serve(t)
	dir := t.TempDir()
	write := func(name string, text []byte) string {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, text, 0o666))
		return file
	}
	file := write("quarry.geojson", parcel(t))
	a := s.mapped("quarry.geojson", parcel(t))

	t.Run("a boundary", func(t *testing.T) {
		wantJSON, wantPNG := commandLine(t, read.Request{Parcel: file}, fleet.Default(), mapping.Options{})
		gotJSON, gotPNG := s.files(a.ID)
		assert.Equal(t, string(wantJSON), string(gotJSON))
		assert.True(t, bytes.Equal(wantPNG, gotPNG), "the picture")
	})
	t.Run("a setting", func(t *testing.T) {
		status, body := s.set(a.ID, `{"ground": "wet", "cautious": true}`)
		require.Equal(t, 200, status, "%s", body)
		wantJSON, wantPNG := commandLine(t, read.Request{Parcel: file}, fleet.Default(), mapping.Options{Ground: zoning.Wet, Cautious: true})
		gotJSON, gotPNG := s.files(a.ID)
		assert.Equal(t, string(wantJSON), string(gotJSON))
		assert.True(t, bytes.Equal(wantPNG, gotPNG), "the picture")
	})
	spot := func(x, y float64) string {
		p := onGround(t, orb.Point{x, y})[0]
		text, err := json.Marshal(p)
		require.NoError(t, err)
		return string(text)
	}
	for name, features := range map[string]string{
		"staging and no-go in the lot": `{"type":"Feature","properties":{"kind":"staging"},"geometry":{"type":"Point","coordinates":` + spot(120, 300) + `}},
			{"type":"Feature","properties":{"kind":"no-go","setback":"60ft"},"geometry":{"type":"Point","coordinates":` + spot(300, 300) + `}}`,
		"staging beside the lot": `{"type":"Feature","properties":{"kind":"staging"},"geometry":{"type":"Point","coordinates":` + spot(40, 300) + `}},
			{"type":"Feature","properties":{"kind":"travel"},"geometry":{"type":"Polygon","coordinates":[[` + spot(30, 290) + "," + spot(130, 290) + "," + spot(130, 310) + "," + spot(30, 310) + "," + spot(30, 290) + `]]}}`,
		"no-go by a rule":     `{"type":"Feature","properties":{"kind":"no-go","setback":"trimble-sartz"},"geometry":{"type":"Point","coordinates":` + spot(300, 300) + `}}`,
		"no-go that lies off": `{"type":"Feature","properties":{"kind":"no-go"},"geometry":{"type":"Point","coordinates":` + spot(10, 610) + `}}`,
	} {
		t.Run(name, func(t *testing.T) {
			text := `{"type":"FeatureCollection","features":[` + features + `]}`
			status, body := s.set(a.ID, `{"site": `+text+`}`)
			require.Equal(t, 200, status, "%s", body)
			wantJSON, wantPNG := commandLine(t, read.Request{Parcel: file, SiteFiles: read.SiteFiles{Site: []string{write("site.geojson", []byte(text))}}}, fleet.Default(), mapping.Options{})
			gotJSON, gotPNG := s.files(a.ID)
			assert.Equal(t, string(wantJSON), string(gotJSON))
			assert.True(t, bytes.Equal(wantPNG, gotPNG), "the picture")
			_, taken := s.get("/v1/maps/" + a.ID + "/files/site.geojson")
			assert.JSONEq(t, text, string(taken))
		})
	}
	t.Run("staging that no machine drives off", func(t *testing.T) {
		text := `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"staging"},"geometry":{"type":"Point","coordinates":` + spot(40, 300) + `}}]}`
		status, body := s.set(a.ID, `{"site": `+text+`}`)
		assert.Equal(t, 422, status)
		assert.Contains(t, s.trouble(body).Error, "no machine drives off staging 1")
		assert.Contains(t, s.trouble(body).Error, "off the lots and what is drawn as travel")
	})
	t.Run("and back", func(t *testing.T) {
		status, _ := s.set(a.ID, `{}`)
		require.Equal(t, 200, status)
		want, _ := commandLine(t, read.Request{Parcel: file}, fleet.Default(), mapping.Options{})
		got, _ := s.files(a.ID)
		assert.Equal(t, string(want), string(got))
	})
	t.Run("a drawn boundary is a sketched one", func(t *testing.T) {
		status, body := s.drop(drawnPart, "drawn.geojson", string(parcel(t)))
		require.Equal(t, 200, status)
		want, _ := commandLine(t, read.Request{Parcel: file, Boundary: zoning.Sketched}, fleet.Default(), mapping.Options{})
		got, _ := s.files(s.parse(body).ID)
		assert.Equal(t, string(want), string(got))
	})
}

func TestAnswerTellsTheFourThings(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	assert.Equal(t, "Quarry Lot", a.Name)
	assert.Contains(t, a.Says, "of 45.0 acres can be worked")
	var sum float64
	got, _ := s.files(a.ID)
	var zones struct {
		Summary struct {
			Acres       map[string]float64
			ParcelAcres float64 `json:"parcel_acres"`
		}
	}
	require.NoError(t, json.Unmarshal(got, &zones))
	for _, z := range a.Zones {
		assert.Equal(t, text.Acres(zones.Summary.Acres[z.Band], 1), z.Acres, z.Name)
		sum += zones.Summary.Acres[z.Band]
	}
	assert.InEpsilon(t, zones.Summary.ParcelAcres, sum, 1e-6)
	assert.NotEmpty(t, a.Bring)
	assert.NotEmpty(t, a.Check)
	assert.NotEmpty(t, a.Labels)
	assert.Equal(t, zoning.AccessNotChecked, a.Cautions[1])
	for _, f := range a.Files {
		assert.NotEqual(t, siteFile, f.Name, "nothing was drawn")
	}
}

// A machine alone on its ground leaves it when it stays at home: the map without it
// says how much.
func TestBringSaysWhatIsLeftWithoutAMachine(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	g := s.kept(a.ID)
	zm := g.latest().Map
	tally := tallyOf(zm)
	k := len(zm.Fleet) - 1 // the remote crawler
	without, err := mapping.Map(t.Context(), g.base, zm.Fleet[:k], mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	with, err := mapping.Map(t.Context(), g.base, zm.Fleet, mapping.Options{SlopeOnly: true})
	require.NoError(t, err)
	alone := tallyOf(with).alone[k]
	left := tallyOf(without).bands[without.Fleet.NoMachineBand()].acres - tallyOf(with).bands[with.Fleet.NoMachineBand()].acres
	assert.Positive(t, alone)
	assert.InDelta(t, left, alone, 0.02, "slope alone: no way, turn or patch of one depends on another")
	assert.Contains(t, strings.Join(a.Bring, "\n"), "No other machine here can work them.")
	assert.GreaterOrEqual(t, tally.may[k], tally.bands[k].acres-1e-9)
}

func TestRaisedLimits(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	acres := func(body []byte, key string) string {
		for _, z := range s.parse(body).Zones {
			if z.Band == key {
				return z.Acres
			}
		}
		return ""
	}
	for _, c := range []struct{ name, setting, field, words string }{
		{"nobody says who", `{"limits":[{"machine":"track-loader","limit":"limit","value":"36%"}]}`, "by", "36% is above the fleet file's 30%: say who raises it"},
		{"nobody says why", `{"by":"A. Planner","limits":[{"machine":"track-loader","limit":"limit","value":"36%"}]}`, "reason", "say why"},
		{"control characters are no name", `{"by":"\u0000\u202e ","reason":"x","limits":[{"machine":"track-loader","limit":"limit","value":"36%"}]}`, "by", "say who"},
		{"no unit", `{"limits":[{"machine":"track-loader","limit":"limit","value":"36"}]}`, "track-loader limit", `"36" has no unit`},
		{"none", `{"limits":[{"machine":"track-loader","limit":"limit","value":"0%"}]}`, "track-loader limit", "above 0%"},
		{"above 60deg", `{"by":"a","reason":"b","limits":[{"machine":"remote-crawler","limit":"limit","value":"61deg"}]}`, "remote-crawler limit", "60deg"},
		{"across above along", `{"by":"a","reason":"b","limits":[{"machine":"track-loader","limit":"cross","value":"31%"}]}`, "track-loader cross", "31% is more than its other limits allow"},
		{"wet above dry", `{"by":"a","reason":"b","limits":[{"machine":"track-loader","limit":"wet_limit","value":"31%"}]}`, "track-loader wet_limit", "31% is more than"},
		{"off a tether as on one", `{"by":"a","reason":"b","limits":[{"machine":"remote-crawler","limit":"tether_above","value":"100%"}]}`, "remote-crawler tether_above", "100% is more than"},
		{"no such machine", `{"limits":[{"machine":"hovercraft","limit":"limit","value":"36%"}]}`, "", `of a machine "hovercraft"`},
		{"no such ground", `{"ground":"frozen"}`, "ground", "dry or wet"},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, body := s.set(a.ID, c.setting)
			assert.Equal(t, 422, status)
			got := s.trouble(body)
			assert.Equal(t, c.field, got.Field)
			assert.Contains(t, got.Error, c.words)
		})
	}
	t.Run("above the maker's rating", func(t *testing.T) {
		machines := fleet.Default()
		machines[0].RatedMaxPct = 35
		s := serve(t, func(c *Config) { c.Fleet = machines })
		a := s.mapped("quarry.geojson", parcel(t))
		status, body := s.set(a.ID, `{"by":"a","reason":"b","limits":[{"machine":"track-loader","limit":"limit","value":"36%"}]}`)
		assert.Equal(t, 422, status)
		assert.Contains(t, s.trouble(body).Error, "the maker rates Track loader to 35%")
	})
	t.Run("kept with the result", func(t *testing.T) {
		status, body := s.set(a.ID, `{"by":"A. Planner","reason":"manual,\npage 12","limits":[{"machine":"track-loader","limit":"limit","value":"36%"}]}`)
		require.Equal(t, 200, status, "%s", body)
		const words = "RAISED by A. Planner: Track loader, limit up and down: 36%, where the fleet file says 30%. Reason given: manual, page 12"
		assert.Equal(t, words, s.parse(body).Warnings[0])
		geojson, _ := s.files(a.ID)
		var zones struct{ Summary struct{ Warnings []string } }
		require.NoError(t, json.Unmarshal(geojson, &zones))
		assert.Equal(t, words, zones.Summary.Warnings[0])
	})
	t.Run("lowered ones take ground away", func(t *testing.T) {
		_, before := s.set(a.ID, `{}`)
		status, body := s.set(a.ID, `{"limits":[{"machine":"track-loader","limit":"limit","value":"12%"}]}`)
		require.Equal(t, 200, status, "%s", body)
		assert.NotEqual(t, acres(before, "track-loader"), acres(body, "track-loader"))
		assert.Contains(t, s.parse(body).Assumed[0], "12%, where the fleet file says 30%")
		g := s.kept(a.ID)
		m := g.latest().fleet[0]
		assert.Equal(t, 12.0, m.LimitPct)
		assert.LessOrEqual(t, m.CrossPct, 12.0, "across follows")
		assert.LessOrEqual(t, m.Wet.AlongPct, 12.0, "wet follows")
		assert.Equal(t, fleet.Default()[0], s.config.Fleet[0], "the server's fleet is as it was")
	})
}

func TestSpotAndViews(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	at := onGround(t, orb.Point{300, 300})[0]
	status, body := s.get("/v1/maps/" + a.ID + "/spot?" + url.Values{"lon": {jsonOf(at[0])}, "lat": {jsonOf(at[1])}}.Encode())
	require.Equal(t, 200, status)
	assert.Contains(t, string(body), "slope")
	assert.Contains(t, string(body), "Track loader: ")

	status, body = s.get("/v1/maps/" + a.ID + "/spot?lon=0&lat=0")
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "off the ground that was read")

	for path, want := range map[string]int{
		"/ground.png?x=0&y=0&m=1&w=300&h=200":                   200,
		"/ground.png?x=0&y=0&m=1&w=300&h=200&only=track-loader": 200,
		"/ground.png?x=0&y=0&m=1&w=300&h=200&only=hovercraft":   400,
		"/ground.png?x=0&y=0&m=1&w=100000&h=2":                  400,
		"/ground.png?x=0&y=0&m=1&w=4000&h=4000":                 400,
		"/ground.png?x=0&y=0&m=0&w=30&h=20":                     400,
		"/ground.png?x=NaN&y=0&m=1&w=30&h=20":                   400,
		"/ground.png?x=1e300&y=0&m=1&w=30&h=20":                 400,
		"/ground.png":                                           400,
		"/files/zones.txt":                                      404,
		"/files/..%2f..%2fserver.go":                            404,
		"/spot?lon=x&lat=0":                                     400,
	} {
		status, body := s.get("/v1/maps/" + a.ID + path)
		assert.Equal(t, want, status, path)
		if status == 200 {
			assert.Equal(t, "\x89PNG", string(body[:4]), path)
		}
	}
	status, _ = s.get("/v1/relief.png?x=0&y=0&m=2&w=300&h=200")
	assert.Equal(t, 200, status)
	status, _ = s.get("/v1/swatches/remote-crawler")
	assert.Equal(t, 200, status)
	status, _ = s.get("/v1/swatches/hovercraft")
	assert.Equal(t, 404, status)
}

func jsonOf(v float64) string { b, _ := json.Marshal(v); return string(b) }
