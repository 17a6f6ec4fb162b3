package page

import (
	"bytes"
	"encoding/json"
	"io"
	"mime/multipart"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/site"
)

func (s *visit) with(id string, uses ...Use) answer {
	s.Helper()
	text, err := json.Marshal(Setting{Files: uses})
	require.NoError(s, err)
	status, body := s.set(id, string(text))
	require.Equal(s, 200, status, "%s", body)
	return s.parse(body)
}

// A map of what was dropped is that of the command line for the same files, and names no folder.
func TestDroppedFilesGiveTheMapOfTheCommandLine(t *testing.T) {
	s := serve(t)
	dir := t.TempDir()
	keep := func(name, text string) string {
		file := filepath.Join(dir, name)
		require.NoError(t, os.WriteFile(file, []byte(text), 0o666))
		return file
	}
	lot := keep("quarry.geojson", string(parcel(t)))
	ground := madeRaster(t, "own_dem.tif", 32616, gentle)
	surface := madeRaster(t, "own_dsm.tif", 32616, func(x, y float64) float64 { return gentle(x, y) + 2 + x/200 })
	siteText := features(t, `{"kind":"no-go"}`, square(t, 300, 300, 40))
	stagingText := features(t, `{}`, onGround(t, orb.Point{40, 300})[0])
	travelText := features(t, `{}`, square(t, 30, 270, 80))
	siteFile, staging, travel := keep("marks.geojson", siteText), keep("unload.geojson", stagingText), keep("ways.geojson", travelText)

	prepared, err := read.Prepare(t.Context(), read.Request{
		Elevation: []string{ground}, Surface: []string{surface}, Parcel: lot,
		SiteFiles: read.SiteFiles{Site: []string{siteFile}, Staging: []string{staging}, Travel: []string{travel}},
	})
	require.NoError(t, err)
	want, err := mapping.Map(t.Context(), prepared, fleet.Default(), mapping.Options{})
	require.NoError(t, err)

	uses := []Use{
		{s.loaded("own_dem.tif", contentOf(t, ground)).ID, asGround},
		{s.loaded("own_dsm.tif", contentOf(t, surface)).ID, asSurface},
		{s.loaded("marks.geojson", siteText).ID, asSite},
		{s.loaded("unload.geojson", stagingText).ID, asStaging},
		{s.loaded("ways.geojson", travelText).ID, asTravel},
	}
	a := s.mapped("quarry.geojson", parcel(t))
	steep := a.Says
	a = s.with(a.ID, uses...)
	got := s.kept(a.ID).latest().Map
	require.Len(t, got.Lots, 1)
	for i, z := range want.Lots[0].Zones {
		assert.Equal(t, z.Acres, got.Lots[0].Zones[i].Acres)
		assert.Equal(t, z.ProcedureAcres, got.Lots[0].Zones[i].ProcedureAcres)
	}
	assert.Equal(t, want.Growth.How, got.Growth.How)
	assert.NotEqual(t, steep, a.Says)
	all := strings.Join(append(a.Facts, a.Assumed...), "\n")
	assert.Contains(t, all, "own_dem.tif")
	assert.Contains(t, all, "loaded here")
	assert.NotContains(t, all, "ridge_1m")
	assert.NotContains(t, all, s.dir)
	assert.NotContains(t, all, "upload-")
	geojson, _ := s.files(a.ID)
	assert.False(t, strings.Contains(string(geojson), s.dir), "its files name no folder of this machine")

	// A limit changes the same ground, and files that are taken away leave the server's.
	text, err := json.Marshal(Setting{Files: uses, Limits: []Limit{{"track-loader", "limit", "10%"}}})
	require.NoError(t, err)
	before := s.kept(a.ID).latest().Ground.Elevation
	status, body := s.set(a.ID, string(text))
	require.Equal(t, 200, status, "%s", body)
	assert.Same(t, before, s.kept(a.ID).latest().Ground.Elevation, "the elevation is not read again")
	assert.Equal(t, steep, s.with(a.ID).Says)

	// The first map may have them already.
	status, body = s.mapWith(uses[:1], "quarry.geojson", string(parcel(t)))
	require.Equal(t, 200, status, "%s", body)
	assert.Contains(t, strings.Join(s.parse(body).Facts, "\n"), "own_dem.tif")
}

// mapWith asks for a new map, with files that were dropped before.
func (s *visit) mapWith(uses []Use, files ...string) (int, []byte) {
	s.Helper()
	text, err := json.Marshal(uses)
	require.NoError(s, err)
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	require.NoError(s, form.WriteField(usesPart, string(text)))
	for i := 0; i < len(files); i += 2 {
		w, err := form.CreateFormFile(boundaryPart, files[i])
		require.NoError(s, err)
		_, err = io.WriteString(w, files[i+1])
		require.NoError(s, err)
	}
	require.NoError(s, form.Close())
	return s.do("POST", "/v1/maps", form.FormDataContentType(), body.Bytes())
}

// What is dropped and does not go with the boundary is refused, and the map stays.
func TestADroppedFileThatDoesNotFit(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	refused := func(role string, files ...string) string {
		text, err := json.Marshal(Setting{Files: []Use{{s.loaded(files...).ID, role}}})
		require.NoError(t, err)
		status, body := s.set(a.ID, string(text))
		assert.Equal(t, 422, status, "%s", body)
		return s.trouble(body).Error
	}
	off := contentOf(t, madeRaster(t, "x.tif", 32617, gentle)) // the next zone, 6 degrees east
	assert.Contains(t, refused(asGround, "dem.tif", off), "Quarry Lot")
	assert.Contains(t, refused(asSurface, "dsm.tif", off), "the surface nearest to them (dsm.tif)")
	sunk := contentOf(t, madeRaster(t, "x.tif", 32616, func(x, y float64) float64 { return madeHeight(x, y) - 20 }))
	assert.Contains(t, refused(asSurface, "dsm.tif", sunk), "no height of growth from dsm.tif")
	assert.Contains(t, refused(asSite, "far.geojson", features(t, `{"kind":"no-go"}`, orb.Point{-80, 36})), "far.geojson: nothing in it lies within 2 miles")
	assert.Contains(t, refused(asBoundary, "quarry.geojson", string(parcel(t))), "is a boundary: open it as one")
	assert.Contains(t, refused(asSite, "dem.tif", off), "dem.tif cannot be taken as site")
	status, body := s.set(a.ID, `{"files":[{"id":"none","role":"ground"}]}`)
	assert.Equal(t, 422, status)
	assert.Equal(t, "dropped", s.trouble(body).Field)
	assert.Equal(t, a.Says, s.with(a.ID).Says)

	// A unit that was given for one raster is not taken for another.
	feet := s.loaded("=unit", "ft", "a_dem.tif", contentOf(t, madeRaster(t, "x.tif", 32616, gentle)))
	metres := s.loaded("b_dem.tif", contentOf(t, madeRaster(t, "x.tif", 32616, gentle)))
	text, err := json.Marshal(Setting{Files: []Use{{feet.ID, asGround}, {metres.ID, asGround}}})
	require.NoError(t, err)
	status, body = s.set(a.ID, string(text))
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "the unit of heights was given for one of them")
}

// Two boundaries at once are the lots of one job.
func TestTwoBoundariesAreOneJob(t *testing.T) {
	s := serve(t)
	north := collection(t, "North", square(t, 96, 96, 150))
	south := collection(t, "South", square(t, 96, 300, 150))
	status, body := s.drop(boundaryPart, "north.geojson", string(north), "south.geojson", string(south))
	require.Equal(t, 200, status, "%s", body)
	a := s.parse(body)
	assert.Equal(t, "2 lots", a.Name)
	lots := s.kept(a.ID).latest().Map.Lots
	require.Len(t, lots, 2)
	assert.Equal(t, []string{"North", "South"}, []string{lots[0].Lot, lots[1].Lot})
}

// Lines that say nothing are what who dropped them says.
func TestLinesMayBeSaidToBeOfAKind(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	line := s.loaded("lines.geojson", features(t, `{"name":"Feeder"}`, orb.LineString(onGround(t, orb.Point{40, 300}, orb.Point{580, 300}))))
	s.with(a.ID, Use{line.ID, "as:overhead-line"})
	got := s.kept(a.ID).latest().Ground.Features
	require.Len(t, got, 1)
	assert.Equal(t, site.OverheadLine, got[0].Kind)
	assert.Equal(t, "Feeder", got[0].Name)
	status, body := s.set(a.ID, `{"files":[{"id":"`+line.ID+`","role":"as:selective"}]}`)
	assert.Equal(t, 422, status)
	assert.Contains(t, s.trouble(body).Error, "lines.geojson cannot be taken as as:selective")
}
