package mapping

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// Noise of 0.09 m from cell to cell took a loader's ground without a word: steps and slopes
// that were none. Smoothed first, acres are those of the ground.
func TestNoiseTakesNoGround(t *testing.T) {
	ground := rough(400, 1, 14, false, 6)
	machines := fleet.Default()
	quiet := ground.mapped(t, machines, Options{})
	assert.NotContains(t, quiet.Scale, "smoothed")
	noisy := ground.noisy(0.09).mapped(t, machines, Options{})
	assert.Contains(t, noisy.Scale, "of heights smoothed over 1 m for noise of 0.08")
	for i, m := range machines {
		works := worksAcres(quiet, i, 1)
		require.Greater(t, works, 10.0, m.Key)
		assert.InEpsilon(t, works, worksAcres(noisy, i, 1), 0.05, m.Key)
		wrong, sure := refusedShare(quiet, noisy, 1, i)
		assert.LessOrEqual(t, wrong, 0.10, "%s, of %d m²", m.Key, sure)
	}
	assert.NotContains(t, strings.Join(noisy.Warnings, "\n"), "too noisy")
}

// What smoothing does not mend is told, by machine: 0.2 m leave a boom that swings on 10%
// too little, and more leave nobody enough.
func TestARasterIsTooNoisyForAMachine(t *testing.T) {
	told := func(sigmaM float64) string {
		m := rough(200, 1, 4, false, 7).noisy(sigmaM).mapped(t, fleet.Default(), Options{})
		return strings.Join(m.Warnings, "\n")
	}
	assert.Contains(t, told(0.2), "the raster is too noisy for Boom-mounted head: heights differ by 0.1")
	assert.NotContains(t, told(0.2), "too noisy for Track loader")
	assert.Contains(t, told(0.4), "too noisy for Track loader")
}

// Heights in whole feet differ from cell to cell as noise does: they are told as what they
// are, and not smoothed to slopes that nobody measured.
func TestRoundedHeightsAreNoNoise(t *testing.T) {
	ground := rough(200, 1, 6, false, 8)
	for i, z := range ground.z {
		ground.z[i] = 0.3048 * float64(int(z/0.3048+1000.5))
	}
	m := ground.mapped(t, fleet.Default(), Options{})
	assert.NotContains(t, m.Scale, "smoothed")
	assert.Contains(t, m.Error.Unseen, "whole steps of 1 foot")
}

// Ponds, and ground that came from coarser cells, are smooth and say nothing of how well the
// rest was measured.
func TestSmoothCellsDoNotSpeakForOthers(t *testing.T) {
	ground := rough(200, 1, 30, false, 10)
	want := ground.mapped(t, fleet.Default()[:1], Options{SlopeOnly: true}).Error
	for i := range ground.z {
		if i/200 >= 90 {
			ground.z[i] = -50 // a lake
		}
	}
	m := ground.mapped(t, fleet.Default()[:1], Options{SlopeOnly: true})
	require.Positive(t, m.Lots[0].Acres-worksAcres(m, 0, 1), "it is water")
	assert.InEpsilon(t, want.Slope.MaxSigma(), m.Error.Slope.MaxSigma(), 0.3)
}

// boomTo is the built-in boom alone, held to a limit where it swings.
func boomTo(t *testing.T, swingPct float64) zoning.Fleet {
	t.Helper()
	machines := fleet.Default()
	i := slices.IndexFunc(machines, func(m zoning.Machine) bool { return m.ReachM > 0 })
	require.GreaterOrEqual(t, i, 0)
	boom := machines[i]
	boom.LimitPct, boom.CrossPct, boom.Swing = 35, 30, zoning.Limits{AlongPct: swingPct, CrossPct: swingPct}
	return zoning.Fleet{boom}
}

// plane is a square that falls evenly to the south.
func plane(side int, pct float64) heights {
	h := heights{make([]float64, side*side), side, 1}
	for i := range h.z {
		h.z[i] = -float64(i/side) * pct / 100
	}
	return h
}

// A boom held to 25% where it swings was surely working 71% of a slope of 27%, from single
// cells that 3 cm of noise made gentle. Sure asks of the place that it swings from, too.
func TestNoiseMakesNoPlaceThatIsSure(t *testing.T) {
	m := plane(150, 27).noisy(0.03).mapped(t, boomTo(t, 25), Options{})
	assert.LessOrEqual(t, sureAcres(m, 0, 1), 0.01*150*150/4047)
	m = plane(150, 15).noisy(0.03).mapped(t, boomTo(t, 25), Options{})
	assert.GreaterOrEqual(t, sureAcres(m, 0, 1), 0.95*worksAcres(m, 0, 1), "well within what it swings on")
}

// A loader works 20% up and down from a terrace where it turns. It was surely within its
// limit along, and that it turns on ground that may be over its limit across was not asked.
func TestARunIsAsSureAsWhereItTurns(t *testing.T) {
	loader := zoning.Fleet{fleet.Default()[0]}
	noise := &slope.Noise{SigmaM: 0.03, RangeM: slope.RangeUnknown, From: "test"}
	sure := func(terracePct float64) (onRun float64) {
		h, z := plane(120, 0), 0.0
		for r := range 120 {
			for c := range 120 {
				h.z[r*120+c] = z
			}
			pct := 20.0
			if r >= 60 {
				pct = terracePct
			}
			z -= pct / 100
		}
		m := h.mapped(t, loader, Options{Noise: noise})
		for r := 30; r < 50; r++ {
			require.Equal(t, zoning.Mask(1), m.Cells.Masks[r*120+60], "it works there")
			onRun += float64(m.Cells.Sure[r*120+60]) / 20
		}
		return onRun
	}
	assert.InDelta(t, 1, sure(8), 1e-9)
	assert.Zero(t, sure(14.5), "of 15%")
}
