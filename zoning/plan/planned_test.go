package plan_test

import (
	"context"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/mapping"
	"github.com/acreband/acreband/zoning/plan"
	"github.com/acreband/acreband/zoning/site"
)

// pondOf is no-go ground with a setback.
var pondOf = site.Feature{Kind: site.NoGo, Place: 2, Setback: site.Setback{WidthM: 150}, Geometry: box(-84.245, 36.33, -84.242, 36.333)}

// plannedFor plans for a map with some machines brought, and draws the plan.
func plannedFor(t *testing.T, g *mapping.Ground, m *zoning.ZoneMap, bring ...string) (*plan.Plan, *zoning.ZoneMap) {
	t.Helper()
	book := plan.Default()
	book.Job.Bring = bring
	p, err := plan.ForMap(g, m, book, plan.Light)
	require.NoError(t, err)
	z, err := plan.Planned(t.Context(), g, m, p)
	require.NoError(t, err)
	return p, z
}

// Map and ladder are the same acres: each machine's, what waits, what needs a machine and
// what no machine works; in every state of the ground, whoever is brought, they add up to
// the parcel's.
func TestAcresOfThePlannedMapAreTheLadders(t *testing.T) {
	for _, ground := range []zoning.Moisture{zoning.Dry, zoning.Wet} {
		g, m := mappedTwo(t, mapping.Options{Ground: ground}, thicket, pondOf)
		for _, bring := range [][]string{nil, {"track-loader"}, {"remote-crawler"}, {"track-loader", "remote-crawler"}} {
			p, z := plannedFor(t, g, m, bring...)
			rung := p.Ladder[p.Recommended]
			bands := z.Fleet.Bands()
			got := z.BandAcres(len(bands))
			want, sum := map[string]float64{}, 0.0
			for _, task := range rung.Tasks {
				switch {
				case task.By == plan.HandKey:
					want[zoning.NoMachineKey] += task.NetAcres
				case !slices.ContainsFunc(rung.Left, func(l plan.Left) bool { return l.Why == task.By }):
					want[task.By] += task.NetAcres
				}
			}
			for _, l := range rung.Left {
				if l.Why != plan.LeftByChoice { // slivers, which are somebody's on the map
					want[l.Why] += l.Acres
				}
			}
			// Pieces share a zone's acres out by cells, which are wider in the south of lots of
			// some miles: a few in a hundred thousand.
			for b, band := range bands {
				sum += got[b]
				assert.InDelta(t, want[band.Key], got[b], 0.05+2e-4*got[b], "%s ground, %v brought: %s", ground, bring, band.Key)
			}
			parcel := 0.0
			for _, lot := range m.Lots {
				parcel += lot.Acres
			}
			assert.InDelta(t, parcel, sum, 1e-6)
			if ground == zoning.Wet && len(bring) == 1 && bring[0] == "track-loader" {
				assert.Positive(t, got[z.Fleet.WaitsDryBand()], "the loader works more when it is dry")
			}
			if ground == zoning.Dry {
				assert.Zero(t, got[z.Fleet.WaitsDryBand()])
			}
		}
	}
}

// Days and budget end in the middle of a piece of ground: the map once drew it whole, 9.9 acres
// where the plan told 2.0.
func TestWhatDaysDoNotReachIsNotDrawnAsWorked(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{}, thicket)
	for name, limit := range map[string]func(*plan.Job){
		"days":   func(j *plan.Job) { j.Days = 9 },
		"budget": func(j *plan.Job) { j.BudgetUSD = 20000 },
	} {
		book := plan.Default()
		limit(&book.Job)
		p, err := plan.ForMap(g, m, book, plan.Light)
		require.NoError(t, err)
		z, err := plan.Planned(t.Context(), g, m, p)
		require.NoError(t, err)
		rung := p.Ladder[p.Recommended]
		got := z.BandAcres(len(z.Fleet.Bands()))
		worked := 0.0
		for k := range z.Fleet {
			worked += got[k]
		}
		require.Less(t, rung.Acres, 0.9*p.NetAcres, name)
		const cellAcres = 1.7 // half of one in each lot
		assert.InDelta(t, rung.Acres, worked, cellAcres, name)
		assert.Greater(t, worked, 5.0, name)
	}
}

// A warning about a machine that stays home takes room from those that count.
func TestWarningsAreOfTheCrew(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{}, thicket)
	m.WarnOf(1<<0, "of the loader")
	m.WarnOf(1<<3, "of the crawler")
	m.WarnOf(1<<2|1<<3, "of boom and crawler")
	told := append(m.Warnings[:len(m.Warnings):len(m.Warnings)], "of nobody")
	m.Warnings = told
	_, z := plannedFor(t, g, m, "track-loader")
	assert.Equal(t, slices.Concat(told[:len(told)-4], []string{"of the loader", "of nobody"}), z.Warnings)
	_, z = plannedFor(t, g, m, "track-loader", "remote-crawler")
	assert.Equal(t, told, z.Warnings)
	assert.Equal(t, told, m.Warnings, "by limits all are told")
}

// What waits is what the other state's masks give to the crew and those of this one do not.
func TestGroundThatWaitsIsWorkedWhenDry(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{Ground: zoning.Wet})
	_, z := plannedFor(t, g, m, "track-loader")
	loader := zoning.Mask(1) << 0
	require.Equal(t, "track-loader", m.Fleet[0].Key)
	waits := 0
	for i, mask := range z.Cells.Masks {
		if mask == zoning.WaitsDry {
			waits++
			assert.Zero(t, m.Cells.Masks[i]&loader)
			assert.NotZero(t, m.Cells.Otherwise[i]&loader)
		}
	}
	assert.Greater(t, waits, 100)
}

func TestPlannedRefuses(t *testing.T) {
	g, m := mappedTwo(t, mapping.Options{})
	none, err := plan.ForMap(g, m, plan.Default(), plan.CoverNotGiven)
	require.NoError(t, err)
	_, err = plan.Planned(t.Context(), g, m, none)
	assert.ErrorContains(t, err, "no crew")
	_, err = plan.Planned(t.Context(), g, m, nil)
	assert.ErrorContains(t, err, "no crew")
	p, z := plannedFor(t, g, m)
	_, err = plan.Planned(t.Context(), g, z, p)
	assert.ErrorContains(t, err, "as planned already")
	ended, end := context.WithCancel(t.Context())
	end()
	_, err = plan.Planned(ended, g, m, p)
	assert.ErrorIs(t, err, context.Canceled)
}
