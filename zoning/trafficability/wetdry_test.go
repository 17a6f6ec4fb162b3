package trafficability

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Whatever limit is changed, no machine works a cell on wet ground that it may not work
// on dry. (Patches are left out: a scrap on dry ground may join its neighbour on wet.)
func TestWetGroundIsAmongDryHoweverLimitsChange(t *testing.T) {
	changes := []zoning.Limit{
		zoning.AlongLimit, zoning.CrossLimit, zoning.WetLimit, zoning.WetCross, zoning.SwingLimit, zoning.SwingCross,
		zoning.WetSwingLimit, zoning.WetSwingCross, zoning.ReachUp, zoning.ReachDown, zoning.TetherAbove, zoning.RatedMax,
	}
	changed := 0
	for seed := range uint64(24) {
		rnd := rand.New(rand.NewPCG(seed, 3))
		m := siteFleet()
		for k := range m {
			m[k].PatchAcres = 0
			for range 3 {
				next, err := m[k].With(changes[rnd.IntN(len(changes))], 1+60*rnd.Float64())
				if err == nil {
					m[k] = next
					changed++
				}
			}
		}
		require.NoError(t, zoning.Fleet(m).Check())
		g := site(t, seed)
		dry, wet := must(Find(context.Background(), g, m)), must(Find(context.Background(), g, zoning.Fleet(m).On(zoning.Wet)))
		for k := range m {
			for i := range g.Lots {
				if wet.Why[k][i] == zoning.Works && dry.Why[k][i] != zoning.Works {
					t.Fatalf("seed %d: %s works cell %d on wet ground, and on dry it is told %q: %+v", seed, m[k].Key, i, dry.Why[k][i].String(), m[k])
				}
			}
		}
	}
	require.Greater(t, changed, 60)
}
