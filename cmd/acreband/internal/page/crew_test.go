package page

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
	"github.com/acreband/acreband/zoning/sheet"
	"github.com/acreband/acreband/zoning/write"
)

// planned maps and plans as the command does, with figures of the job set, in a view.
func planned(t *testing.T, file string, view zoning.View, job ...[2]string) (zm *zoning.ZoneMap, geojson, png []byte) {
	t.Helper()
	g, err := read.Prepare(t.Context(), read.Request{Elevation: []string{elevation(t)}, Parcel: file})
	require.NoError(t, err)
	book := plan.Default()
	for _, j := range job {
		require.NoError(t, book.Job.Set(j[0], j[1]))
	}
	zm, err = mapping.Map(t.Context(), g, fleet.Default(), mapping.Options{Loads: book.Loads(fleet.Default())})
	require.NoError(t, err)
	p, err := plan.ForMap(g, zm, book, plan.Light)
	require.NoError(t, err)
	zm.Plan = p
	if view == zoning.AsPlanned {
		zm, err = plan.Planned(t.Context(), g, zm, p)
		require.NoError(t, err)
	}
	zm.Access.Proposed, err = plan.ProposeUnloads(t.Context(), g, zm, p)
	require.NoError(t, err)
	var a, b bytes.Buffer
	require.NoError(t, write.GeoJSON(&a, zm))
	require.NoError(t, sheet.Picture(&b, g.Elevation.Grid, zm))
	return zm, a.Bytes(), b.Bytes()
}

// The page drew the map by limits beside a plan of one crew, as if all machines came.
func TestSameBytesInBothViews(t *testing.T) {
	s := serve(t, costed)
	file := filepath.Join(t.TempDir(), "quarry.geojson")
	require.NoError(t, os.WriteFile(file, parcel(t), 0o666))
	id := s.mapped("quarry.geojson", parcel(t)).ID
	for _, c := range []struct {
		name, setting string
		view          zoning.View
		job           [][2]string
	}{
		{"the recommended crew", `{}`, zoning.AsPlanned, nil},
		{"by limits", `{"view":"limits"}`, zoning.ByLimits, nil},
		{"a crew that is brought", `{"bring":"track-loader,remote-crawler"}`, zoning.AsPlanned, [][2]string{{"bring", "track-loader,remote-crawler"}}},
		{"that crew by limits", `{"bring":"track-loader","view":"limits"}`, zoning.ByLimits, [][2]string{{"bring", "track-loader"}}},
		{"what an acre is worth", `{"worth":"$9,000","view":"plan"}`, zoning.AsPlanned, [][2]string{{"worth", "$9000/ac"}}},
		{"days and a budget", `{"days":"4","budget":"15000"}`, zoning.AsPlanned, [][2]string{{"days", "4days"}, {"budget", "$15000"}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			status, body := s.set(id, c.setting)
			require.Equal(t, 200, status, "%s", body)
			zm, wantJSON, wantPNG := planned(t, file, c.view, c.job...)
			gotJSON, gotPNG := s.files(id)
			assert.Equal(t, string(wantJSON), string(gotJSON))
			assert.True(t, bytes.Equal(wantPNG, gotPNG), "the picture")
			a := s.parse(body)
			assert.Equal(t, c.view.String(), a.View)
			assert.Equal(t, c.view.Words(), a.Drawn)
			assert.Equal(t, zm.Plan.(*plan.Plan).Why, a.Crew.Why)
		})
	}
}

// The headline was of all machines, and the plan of the crew: both are of the chosen rung.
func TestAnswerIsOfTheChosenRung(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	p := s.kept(a.ID).latest().Plan
	require.NotEmpty(t, p.Ladder)
	require.Len(t, a.Crew.Ladder, len(p.Ladder))
	chosen := a.Crew.Ladder[p.Recommended]
	assert.True(t, chosen.Chosen)
	assert.Contains(t, a.Says, "Bring "+chosen.Crew+": "+chosen.Acres+" of 45.0 acres in ")
	assert.Len(t, a.Crew.NotCleared, len(p.Ladder[p.Recommended].Left))
	assert.Empty(t, a.Crew.Ladder[0].Extra, "there is no rung below")
	for _, z := range a.Zones {
		assert.True(t, !z.Machine || comes(&p.Ladder[p.Recommended], z.Band), z.Name)
	}
	assert.NotEmpty(t, a.Unloads, "no staging was given")

	status, body := s.set(a.ID, `{"bring":"remote-crawler"}`)
	require.Equal(t, 200, status, "%s", body)
	a = s.parse(body)
	require.Len(t, a.Crew.Ladder, 1)
	assert.Equal(t, []machineOf{{"remote-crawler", "Remote crawler", true}}, bringing(a.Terms))
	status, body = s.set(a.ID, `{"bring":""}`)
	require.Equal(t, 200, status, "%s", body)
	assert.Empty(t, bringing(s.parse(body).Terms))

	// The headline was of the whole fleet where the crew that is brought can work nothing.
	status, body = s.set(a.ID, `{"bring":"remote-crawler","cover":"heavy"}`)
	require.Equal(t, 200, status, "%s", body)
	a = s.parse(body)
	assert.Nil(t, a.Crew)
	assert.Contains(t, a.Says, "No machine: all of 45.0 acres stay standing.")
}

func bringing(t *termsOf) (out []machineOf) {
	for _, m := range t.Bring {
		if m.Comes {
			out = append(out, m)
		}
	}
	return out
}

func TestTermsThatAreNone(t *testing.T) {
	s := serve(t, costed)
	a := s.mapped("quarry.geojson", parcel(t))
	for _, c := range []struct{ setting, field, words string }{
		{`{"worth":"much"}`, "worth", "much"},
		{`{"days":"soon"}`, "days", "soon"},
		{`{"budget":"-5"}`, "budget", "-5"},
		{`{"bring":"hovercraft"}`, "bring", `the fleet has no machine "hovercraft"`},
		{`{"view":"sideways"}`, "view", "by plan or by limits"},
	} {
		status, body := s.set(a.ID, c.setting)
		assert.Equal(t, 422, status, c.setting)
		assert.Equal(t, c.field, s.trouble(body).Field)
		assert.Contains(t, s.trouble(body).Error, c.words)
	}
}
