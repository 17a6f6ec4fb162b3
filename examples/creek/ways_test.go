// Package creek holds the ground of a job by a creek to what its machines do there.
package creek

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/read"
)

// job is a map of the creek and its plan.
type job struct {
	ground *mapping.Ground
	m      *zoning.ZoneMap
	plan   *plan.Plan
}

// posted maps the creek with other words in its files.
func posted(t *testing.T, staging string, change ...string) (j job, err error) {
	t.Helper()
	dir := t.TempDir()
	for _, name := range []string{"site.geojson", "staging.geojson"} {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(strings.NewReplacer(change...).Replace(string(text))), 0o600))
	}
	files := read.SiteFiles{Site: []string{filepath.Join(dir, "site.geojson")}, Travel: []string{"travel.geojson"}}
	if staging != "" {
		files.Staging = []string{filepath.Join(dir, staging)}
	}
	j.ground, err = read.Prepare(context.Background(), read.Request{
		Elevation: []string{"elevation.tif"}, Parcel: "boundary.geojson", SiteFiles: files,
	})
	require.NoError(t, err)
	machines, book := fleet.Default(), plan.Default()
	j.m, err = mapping.Map(context.Background(), j.ground, machines, mapping.Options{Loads: book.Loads(machines)})
	if err != nil {
		return j, err
	}
	j.plan, err = plan.ForMap(j.ground, j.m, book, plan.Medium)
	require.NoError(t, err)
	return j, nil
}

// may is the acres of the lot that nothing keeps a machine off.
func (j job) may(key string) float64 {
	acres := j.m.Lots[0].Acres
	for k, m := range j.m.Fleet {
		if m.Key != key {
			continue
		}
		for why, lost := range j.m.LostAcres()[k] {
			if zoning.Why(why) != zoning.Works {
				acres -= lost
			}
		}
	}
	return acres
}

// At 15 tons the loader's load gets to the yard, and neither carrier nor excavator of 20 tons
// gets over the bridge; at 12 tons the loader is unloaded short and walks over.
func TestTheBridgeAndTheYard(t *testing.T) {
	at15, err := posted(t, "staging.geojson")
	require.NoError(t, err)
	assert.InDelta(t, 12, at15.may("track-loader"), 0.1)
	assert.Equal(t, []int{0}, at15.m.Access.Unloads[0], "the yard")
	assert.InDelta(t, 0, at15.may("dedicated-carrier"), 1e-6)
	assert.InDelta(t, 0, at15.may("boom-head"), 1e-6)
	assert.Contains(t, strings.Join(at15.m.Warnings, "\n"), "the load of the Track loader weighs 30,000 lb with 30,000 lb posted on the road to feature 1 (Yard on the lot): weigh it first")
	require.NotEmpty(t, at15.m.Access.Pockets, "what is cut off is listed with staging, too")
	assert.Equal(t, 1, at15.m.Access.Pockets[0].Machine)
	words, err := at15.ground.Why(at15.m, at15.ground.Lots[0].Ground.Bound().Center())
	require.NoError(t, err)
	assert.Contains(t, strings.Join(words, "\n"), "Dedicated carrier: no: no access route")

	at12, err := posted(t, "staging.geojson", "15tons", "12tons")
	require.NoError(t, err)
	assert.InDelta(t, at15.may("track-loader"), at12.may("track-loader"), 1e-9)
	assert.Equal(t, []int{1}, at12.m.Access.Unloads[0], "the wide spot")
	assert.Contains(t, strings.Join(at12.plan.Notes, "\n"),
		"Track loader: unload short, at feature 2 (Wide spot before the bridge), and walk it over: its load is over what is posted on the road to feature 1 (Yard on the lot).")
	at6, err := posted(t, "staging.geojson", "15tons", "6tons")
	require.NoError(t, err)
	assert.InDelta(t, 0, at6.may("track-loader"), 1e-6, "it weighs 13 000 lb itself")
	at25, err := posted(t, "staging.geojson", "15tons", "20tons")
	require.NoError(t, err)
	assert.Greater(t, at25.may("boom-head"), 5.0, "unloaded short, 20 tons walk over")
}

// Without staging a place on the boundary is proposed from where the crew gets to all of it; the
// yard is the level one, 62 m east and 120 m north of the corner that the ground was drawn from.
func TestAnUnloadPointIsProposed(t *testing.T) {
	j, err := posted(t, "")
	require.NoError(t, err)
	points, err := plan.ProposeUnloads(context.Background(), j.ground, j.m, j.plan)
	require.NoError(t, err)
	require.Len(t, points, 1)
	assert.InDelta(t, 12, points[0].Acres, 0.1)
	assert.InDelta(t, -82.38483, points[0].At[0], 15/89000.0)
	assert.InDelta(t, 37.17442, points[0].At[1], 15/111000.0)
	assert.Nil(t, points[0].RoadM, "no road is drawn")

	cut, err := posted(t, "staging.geojson", "15tons", "6tons")
	require.NoError(t, err)
	points, err = cut.ground.Propose(context.Background(), cut.m, []int{0})
	require.NoError(t, err)
	require.Len(t, points, 1, "the loader is cut off")
	assert.InDelta(t, 12, points[0].Acres, 0.1)
	points, err = j.ground.Propose(context.Background(), j.m, nil)
	assert.NoError(t, err)
	assert.Empty(t, points)
}

// What leaves all acres standing is refused with its reason and cure, not mapped.
func TestWhatIsNoWayInIsRefused(t *testing.T) {
	refused := func(words string, change ...string) {
		t.Helper()
		_, err := posted(t, "staging.geojson", change...)
		require.ErrorIs(t, err, mapping.ErrSite)
		assert.ErrorContains(t, err, words)
	}
	const yard = "[-82.38483043,37.17442491]"
	refused("no machine drives off staging 1 (37.1740 N, 82.3836 W): slope", yard, "[-82.38360,37.17402]") // the bank
	refused("off the lots and what is drawn as travel", yard, "[-82.38483,37.17370]")
	refused("(Creek bridge), a bridge, lies neither on the parcel nor on travel ground", "[-82.38535847,37.17373371],[-82.38536078,37.17385987]", "[-82.3860,37.1732],[-82.3860,37.1733]")
	refused("Track loader: it weighs 30,000 lb, and 1,000 lb is posted", `"15tons"}, "geometry": {"type": "Point"`, `"1000lb"}, "geometry": {"type": "Point"`,
		`"name":"Wide spot before the bridge"`, `"name":"Wide spot before the bridge","weight":"1000lb"`)
}
