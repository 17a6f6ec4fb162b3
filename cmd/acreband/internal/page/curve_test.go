package page

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
)

// Each point of a curve is the map of that machine alone with that limit.
func TestCurveIsOfMaps(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	status, body := s.get("/v1/maps/" + a.ID + "/curve?machine=track-loader&limit=limit")
	require.Equal(t, 200, status, "%s", body)
	var c curve
	require.NoError(t, json.Unmarshal(body, &c))
	assert.Equal(t, 30.0, c.NowPct)
	assert.Equal(t, 30.0, c.FilePct)
	var pcts []float64
	for i, p := range c.Points {
		pcts = append(pcts, p.Pct)
		assert.LessOrEqual(t, p.Sure, p.Acres)
		assert.True(t, i == 0 || p.Acres >= c.Points[i-1].Acres, "a higher limit has no less ground")
	}
	assert.Equal(t, []float64{6, 12, 18, 24, 30, 36, 42, 48, 54, 60}, pcts)

	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{elevation(t)}, Parcel: written(t, "quarry.geojson", parcel(t))})
	require.NoError(t, err)
	m, err := fleet.Default()[0].With(zoning.AlongLimit, 24)
	require.NoError(t, err)
	zm, err := mapping.Map(t.Context(), g, []zoning.Machine{m}, mapping.Options{Loads: plan.Default().Loads(zoning.Fleet{m})})
	require.NoError(t, err)
	assert.Equal(t, zm.Lots[0].Zones[0].Acres, c.Points[3].Acres)
	assert.Equal(t, zm.Lots[0].Zones[0].SureAcres, c.Points[3].Sure)
	assert.Equal(t, 0, s.kept(a.ID).latest().revision, "the map stays as it was")

	for _, bad := range []string{"machine=hovercraft&limit=limit", "machine=track-loader&limit=colour", ""} {
		status, _ = s.get("/v1/maps/" + a.ID + "/curve?" + bad)
		assert.Equal(t, 400, status, bad)
	}
	status, _ = s.get("/v1/maps/none/curve?machine=track-loader&limit=limit")
	assert.Equal(t, 404, status)
}

// The price of a class is the one that the map has once that class is chosen.
func TestCoversAreOfPlans(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	status, body := s.get("/v1/maps/" + a.ID + "/covers")
	require.Equal(t, 200, status, "%s", body)
	var covers []coverOf
	require.NoError(t, json.Unmarshal(body, &covers))
	require.Len(t, covers, 4)
	for _, c := range covers {
		assert.Equal(t, c.Cover == "light", c.Now)
		status, body := s.set(a.ID, `{"cover":"`+c.Cover+`"}`)
		require.Equal(t, 200, status, "%s", body)
		for _, r := range s.parse(body).Crew.Ladder {
			if r.Chosen {
				assert.Equal(t, []string{r.Crew, r.Acres + " ac", r.Price, r.Range, r.Left}, []string{c.Crew, c.Area, c.Price, c.Range, c.Left})
				assert.Equal(t, [3]float64{r.Spread[0], r.Middle, r.Spread[1]}, c.Spread)
			}
		}
	}
	plain := serve(t)
	status, body = plain.get("/v1/maps/" + plain.mapped("quarry.geojson", parcel(t)).ID + "/covers")
	assert.Equal(t, 400, status)
	assert.Contains(t, plain.trouble(body).Error, "no costs are known")
}
