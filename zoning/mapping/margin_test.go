package mapping

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/field"
	"github.com/acreband/acreband/zoning/field/progress"
	"github.com/acreband/acreband/zoning/fleet"
	"github.com/acreband/acreband/zoning/plan"
)

// A margin draws the zones that lower limits would, and leaves the machines theirs.
func TestMarginIsTakenOffEveryLimit(t *testing.T) {
	machines := []zoning.Machine{{Key: "a", Name: "A", LimitPct: 30, CrossPct: 15, WidthM: 2}, {Key: "b", Name: "B", LimitPct: 60, CrossPct: 45, ProcedureAbovePct: 50}}
	lower := []zoning.Machine{{Key: "a", Name: "A", LimitPct: 27, CrossPct: 12, WidthM: 2}, {Key: "b", Name: "B", LimitPct: 57, CrossPct: 42, ProcedureAbovePct: 47}}
	g, plain := Survey(t, machines, TwoLots...)
	assert.Nil(t, plain.Drawn)
	with, err := Map(g, machines, Options{MarginPct: 3})
	require.NoError(t, err)
	want, err := Map(g, lower, Options{})
	require.NoError(t, err)
	for i, lot := range want.Lots {
		require.Len(t, with.Lots[i].Zones, len(lot.Zones))
		for j, z := range lot.Zones {
			assert.Equal(t, z.Acres, with.Lots[i].Zones[j].Acres)
			assert.Equal(t, z.ProcedureAcres, with.Lots[i].Zones[j].ProcedureAcres)
		}
	}
	assert.Less(t, AcresOf(with, 0, "a"), AcresOf(plain, 0, "a"))
	assert.Equal(t, machines, with.Fleet)
	assert.Equal(t, lower, with.Drawn)
	assert.Contains(t, with.Assumed, "every limit is 3 points lower than its machine's when zones are drawn (--margin)")

	both, err := Map(g, machines, Options{MarginPct: 3, Cautious: true})
	require.NoError(t, err)
	cautious, err := Map(g, machines, Options{Cautious: true})
	require.NoError(t, err)
	assert.InDelta(t, cautious.Drawn[1].LimitPct-3, both.Drawn[1].LimitPct, 1e-9)

	none, err := Map(g, machines, Options{MarginPct: 90})
	require.NoError(t, err)
	assert.Zero(t, AcresOf(none, 0, "a")+AcresOf(none, 0, "b"), "nothing is left of any limit")
}

// Spots are judged by the machines' true limits though the zones were drawn inside them,
// and people walk only where ground is surely below the slope for it.
func TestCheckGround(t *testing.T) {
	g, _ := Survey(t, Defaults(), TwoLots...)
	for _, o := range []Options{{MarginPct: 4}, {MarginPct: 4, Ground: zoning.Wet}} {
		m, err := Map(g, Defaults(), o)
		require.NoError(t, err)
		m.Hazards = append(m.Hazards, zoning.Hazard{Kind: zoning.PinchPoint, Geometry: orb.Point{-84.25, 36.34}, Words: "tight spot"})
		ground := field.GroundOf(g, m)
		steepest := field.FootPct
		if o.Ground == zoning.Wet {
			steepest = field.WetFootPct
		}
		assert.Less(t, ground.FootPct, steepest)
		assert.Greater(t, ground.FootPct, steepest/2)
		assert.Contains(t, ground.Hazards, field.Hazard{At: orb.Point{-84.25, 36.34}, Words: "tight spot"})
		checks, err := field.Pick(ground, field.Options{})
		require.NoError(t, err)
		require.NotEmpty(t, checks.Spots)
		for _, s := range checks.Spots {
			for k, machine := range m.Fleet {
				if s.Band != machine.Key || machine.ReachM > 0 {
					continue
				}
				assert.Equal(t, machine.SteepestPct(), s.LimitPct)
				assert.Less(t, s.MappedPct, m.Drawn[k].SteepestPct(), "drawn four points inside")
			}
			if s.Sight == nil {
				assert.Less(t, s.MappedPct, ground.FootPct)
			}
		}
	}
}

// Worked ground is held to the likeliest rates of the book, and in all cover to what the
// plan reckons with on this ground.
func TestPlannedRates(t *testing.T) {
	g, m := plan.Planned(t, Options{}, plan.Thicket)
	book := fleet.DefaultPlan()
	require.NoError(t, book.Machine("track-loader").Set("rate_open", "6ac/day"))
	p, err := plan.ForMap(g, m, book, plan.Light)
	require.NoError(t, err)
	got := map[string]float64{}
	for _, r := range progress.PlannedRates(p, book) {
		got[r.Machine+" "+r.Cover] = r.AcresPerHour
	}
	assert.Equal(t, 0.45, got["track-loader light"])
	assert.InDelta(t, 6/(10*0.75), got["track-loader open"], 1e-12, "a day has 10 h, 75% of them productive")
	assert.NotContains(t, got, "remote-crawler heavy", "it does not work such cover")
	for _, b := range p.Options[0].Crew {
		assert.InDelta(t, b.NetAcres/b.ProductiveH, got[b.Key+" "], 1e-12)
	}

	w := progress.WorkMap(g, m, plan.CoverNotGiven)
	count := map[string]int{}
	for _, c := range w.Cover {
		count[w.Covers[c]]++
	}
	assert.Positive(t, count["heavy"])
	assert.Equal(t, len(w.Cover), count["heavy"]+count["not given"])
	bare, m := plan.Planned(t, Options{})
	assert.Nil(t, progress.WorkMap(bare, m, plan.CoverNotGiven).Cover)
}
