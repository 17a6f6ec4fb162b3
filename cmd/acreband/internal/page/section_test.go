package page

import (
	"encoding/json"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/section"
)

// told is a section as the page has it.
type told struct {
	sectionOf
	Heights []*float64   `json:"heights"`
	Slopes  []*float64   `json:"slopes"`
	Ground  []*float64   `json:"ground"`
	LonLat  [][2]float64 `json:"lonLat"`
	Rests   [][]*float64 `json:"rests"`
}

func lineQuery(from, to orb.Point) string {
	return fmt.Sprintf("lon=%v&lat=%v&toLon=%v&toLat=%v", from[0], from[1], to[0], to[1])
}

// What the page tells of a line is the section of the map that it shows.
func TestSectionIsOfTheMap(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	ends := onGround(t, orb.Point{60, 200}, orb.Point{500, 420})
	status, body := s.get("/v1/maps/" + a.ID + "/section?" + lineQuery(ends[0], ends[1]))
	require.Equal(t, 200, status, "%s", body)
	var got told
	require.NoError(t, json.Unmarshal(body, &got))
	r := s.kept(a.ID).latest()
	want, err := section.Of(r.Ground.Elevation.Grid, r.Map, ends[0], ends[1])
	require.NoError(t, err)
	require.Len(t, got.Heights, len(want.HeightsM))
	unknown := 0
	for i, z := range want.HeightsM {
		if math.IsNaN(z) {
			assert.Nil(t, got.Heights[i])
			unknown++
			continue
		}
		assert.InDelta(t, z, *got.Heights[i], 0.006)
		assert.InDelta(t, madeHeight(60+(500-60)*want.DistancesM[i]/want.LengthM()-0.5, 200+(420-200)*want.DistancesM[i]/want.LengthM()-0.5), z, 0.1, "the ground that was made")
		if math.IsNaN(want.AlongPct[i]) {
			assert.Nil(t, got.Slopes[i])
			continue
		}
		assert.InDelta(t, want.AlongPct[i], *got.Slopes[i], 0.006)
		assert.InDelta(t, want.GroundPct[i], *got.Ground[i], 0.006)
	}
	assert.NotZero(t, unknown, "the line begins off the ground that was read")
	for _, runs := range [][]run{got.Limits, got.Zones} {
		next := 0
		for _, r := range runs {
			assert.Equal(t, next, r[0])
			next = r[1] + 1
		}
		assert.Equal(t, len(want.HeightsM), next, "runs leave nothing out")
	}
	assert.Equal(t, section.Beyond, got.Zones[0][2], "the line begins off the lot")
	assert.Contains(t, got.Says, fmt.Sprintf("%.0f m) long", want.LengthM()))
	for k, m := range got.Machines {
		length := section.LengthM(r.Map.Fleet[k])
		assert.Equal(t, length, m.LengthM)
		i := len(want.HeightsM) / 2
		stance, ok := want.Stand(want.DistancesM[i], length)
		require.True(t, ok)
		assert.InDelta(t, stance.SlopePct, *got.Rests[m.Rests][2*i+1], 0.006)
		assert.InDelta(t, (stance.FromZ+stance.ToZ)/2, *got.Rests[m.Rests][2*i], 0.006)
		assert.Nil(t, got.Rests[m.Rests][0], "nothing stands on an end of the line")
	}
}

func TestSectionRefuses(t *testing.T) {
	s := serve(t)
	a := s.mapped("quarry.geojson", parcel(t))
	at := onGround(t, orb.Point{200, 200}, orb.Point{50_000, 50_000}, orb.Point{51_000, 50_000})
	for query, want := range map[string]struct {
		status int
		words  string
	}{
		"":                      {400, "is no number"},
		lineQuery(at[0], at[0]): {422, "one place"},
		lineQuery(at[1], at[2]): {422, "beyond the ground that was read"},
		lineQuery(at[0], at[1]): {422, "draw a shorter one"},
		lineQuery(at[0], orb.Point{math.Inf(1), 0}): {400, "is no number"},
	} {
		status, body := s.get("/v1/maps/" + a.ID + "/section?" + query)
		assert.Equal(t, want.status, status, query)
		assert.Contains(t, s.trouble(body).Error, want.words, query)
	}
	status, _ := s.get("/v1/maps/none/section?" + lineQuery(at[0], at[1]))
	assert.Equal(t, 404, status)
}

func TestFiguresOfUnknownGroundAreNull(t *testing.T) {
	b, err := json.Marshal(figures{1.239, math.NaN(), -0.001, math.Inf(1)})
	require.NoError(t, err)
	assert.Equal(t, "[1.24,null,-0,null]", string(b))
}
