package page

import (
	"encoding/json"
	"fmt"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// Contours of a view lie where the made ground has their height; roads and water come from
// what the site holds.
func TestLinesOfAView(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	ends := onGround(t, orb.Point{200, 300}, orb.Point{400, 310}, orb.Point{300, 200}, orb.Point{320, 420})
	line := func(kind, name string, from, to orb.Point) string {
		return fmt.Sprintf(`{"type":"Feature","properties":{"kind":%q,"name":%q},"geometry":{"type":"LineString","coordinates":[[%v,%v],[%v,%v]]}}`, kind, name, from[0], from[1], to[0], to[1])
	}
	status, body := s.set(a.ID, `{"site":{"type":"FeatureCollection","features":[`+line("road", "Mill Road", ends[0], ends[1])+","+line("water", "Alder Run", ends[2], ends[3])+`]}}`)
	require.Equal(t, 200, status, "%s", body)
	status, body = s.get("/v1/maps/" + a.ID + "/lines?x=0&y=0&m=2&w=300&h=300")
	require.Equal(t, 200, status, "%s", body)
	var got struct {
		linesOf
		Features []struct {
			Kind, Name string
			Area       bool
			Lines      [][][2]float64
		} `json:"features"`
	}
	require.NoError(t, json.Unmarshal(body, &got))
	assert.Regexp(t, `^\d+ ft$`, got.Every)
	require.NotEmpty(t, got.Contours)
	g := s.kept(a.ID).latest().Ground.Elevation.Grid
	p := s.kept(a.ID).latest().plane
	for _, c := range got.Contours {
		var ft float64
		_, err := fmt.Sscanf(c.Label, "%f", &ft)
		require.NoError(t, err)
		q := c.Line[len(c.Line)/2]
		col, row := g.Frame.Cell(p.Lon+q[0]/p.LonM, p.Lat+q[1]/p.LatM)
		assert.InDelta(t, ft*0.3048, madeHeight(col-0.5, row-0.5), 1, "a contour of cells that are averaged")
	}
	require.Len(t, got.Features, 2)
	for i, want := range []struct{ kind, name string }{{"road", "Mill Road"}, {"water", "Alder Run"}} {
		assert.Equal(t, want.kind, got.Features[i].Kind)
		assert.Equal(t, want.name, got.Features[i].Name)
		assert.False(t, got.Features[i].Area)
		for k := range 2 {
			lonM, latM := terrain.DegreeM(ends[0][1])
			assert.InDelta(t, ends[2*i+k][0]*lonM, got.Features[i].Lines[0][k][0]*lonM, 0.02)
			assert.InDelta(t, ends[2*i+k][1]*latM, got.Features[i].Lines[0][k][1]*latM, 0.02)
		}
	}
	status, body = s.get("/v1/maps/" + a.ID + "/lines?x=9000&y=0&m=2&w=300&h=300")
	require.Equal(t, 200, status)
	assert.Contains(t, string(body), `"contours":[],"features":[]`, "elsewhere there are none")
	status, _ = s.get("/v1/maps/" + a.ID + "/lines?x=0&y=0&m=2&w=30000&h=300")
	assert.Equal(t, 400, status)
	status, _ = s.get("/v1/maps/none/lines?x=0&y=0&m=2&w=300&h=300")
	assert.Equal(t, 404, status)
}

func TestPartsOfShapes(t *testing.T) {
	ring := orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 0}}
	for n, shape := range map[int]orb.Geometry{
		1: orb.Point{1, 2}, 2: orb.MultiPoint{{1, 2}, {3, 4}}, 3: orb.Collection{orb.Point{1, 2}, orb.Polygon{ring, ring}}, 4: orb.MultiPolygon{{ring, ring}, {ring, ring}},
		0: orb.LineString{},
	} {
		assert.Len(t, partsOf(shape), n, "%T", shape)
	}
}

// Without a network there was nothing on the map to find one's way by.
func TestBrowserLines(t *testing.T) {
	s := serve(t)
	b := open(t, s, 1280, 720)
	b.drop("quarry.geojson", parcel(t))
	b.painted("0")
	b.until(`/^[1-9]\d* 0$/.test(document.getElementById("map").dataset.lines)`)
	assert.Regexp(t, `\d+\.\d+ N`, b.value(`document.querySelector(".line-name.lat").innerText`))
	assert.Regexp(t, `\d+\.\d+ W`, b.value(`document.querySelector(".line-name.lon").innerText`))
	b.seen("#north")
	b.seen("#lines")
	b.accessible()
	b.roomy()
	b.shot("30-lines")
	b.do(chromedp.Click("#lines", chromedp.ByQuery))
	assert.Equal(t, "0", b.value(`document.querySelectorAll(".line-name").length`))
	b.clean()
}
