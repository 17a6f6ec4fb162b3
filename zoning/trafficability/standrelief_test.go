package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/zoning"
)

// On a tether: 100%, off it 60%; on wet ground 40%, and no tether.
var hung = zoning.Machine{
	Key: "crawler", LimitPct: 100, CrossPct: 45, Wet: zoning.Limits{AlongPct: 40, CrossPct: 25}, TetherAbovePct: 60, TetherBasis: "manual, p. 31", TetherM: 30, Anchor: "boom",
}

// sloped is a row of cells of given slopes, rise over run.
func sloped(rises ...float64) *slope.Field {
	f := &slope.Field{Cols: len(rises), Rows: 1, Squared: make([]float32, len(rises))}
	for i, r := range rises {
		f.Squared[i] = float32(r * r)
	}
	return f
}

// The tie is 0.02 points of percent, held from both sides: 0.019 short of the limit is on
// it, 0.021 is under it.
func TestTieFromBothSides(t *testing.T) {
	out := make([]zoning.Mask, 4)
	require.NoError(t, Stand(sloped(0.35-1.9e-4, 0.35-2.1e-4, 0.35, 0), fleetOf(35), out))
	assert.Equal(t, []zoning.Mask{0, 1, 0, 1}, out)
}

// Where a manual allows a tether, ground up to the limit on it may be stood on; without,
// up to where the tether begins. A limit within a tie of none holds the machine off all
// ground.
func TestStandOnATether(t *testing.T) {
	off := hung
	off.Key, off.TetherBasis = "off", ""
	out := make([]zoning.Mask, 4)
	require.NoError(t, Stand(sloped(0.5, 0.7, 0.99, 1.01), []zoning.Machine{hung, off}, out))
	assert.Equal(t, []zoning.Mask{0b11, 0b01, 0b01, 0}, out)
	require.NoError(t, Stand(sloped(0, 0.01, math.NaN(), 0.5), []zoning.Machine{{Key: "a", LimitPct: 0.01}, {Key: "b", LimitPct: 2}}, out))
	assert.Equal(t, []zoning.Mask{0b10, 0b10, zoning.Unknown, 0}, out)
}

// relief is level ground with steps, and roughness, in metres.
func relief(steps, rough []float64) *slope.Field {
	f := sloped(make([]float64, len(steps))...)
	f.AddRelief()
	for i := range steps {
		f.Step[i], f.RoughSquared[i] = float32(steps[i]), float32(rough[i]*rough[i])
	}
	return f
}

// Cause: the limit of roughness switched off went unnoticed. A step and a roughness at
// the very limit are crossed; what passes either is not, whichever of the two is set.
func TestStepAndRoughness(t *testing.T) {
	f := relief([]float64{0, 0.30, 0.31, 0, 0, 0.31}, []float64{0, 0, 0, 0.20, 0.21, 0.21})
	step, rough, both, none := zoning.Machine{Key: "step", LimitPct: 30, StepM: 0.30}, zoning.Machine{Key: "rough", LimitPct: 30, RoughM: 0.20}, zoning.Machine{Key: "both", LimitPct: 30, StepM: 0.30, RoughM: 0.20}, zoning.Machine{Key: "none", LimitPct: 30}
	fleet := []zoning.Machine{step, rough, both, none}
	want := []zoning.Mask{0b1111, 0b1111, 0b1010, 0b1111, 0b1001, 0b1000}
	out := make([]zoning.Mask, 6)
	require.NoError(t, Stand(f, fleet, out))
	assert.Equal(t, want, out)
	require.NoError(t, Firm(f, fleet, out))
	assert.Equal(t, want, out)

	// At cell scale nobody knows either, and slope says nothing of firmness.
	f = sloped(0, 0.5, math.NaN())
	require.NoError(t, Firm(f, fleet, out[:3]))
	assert.Equal(t, []zoning.Mask{0b1111, 0b1111, 0b1111}, out[:3])
	require.NoError(t, Stand(f, fleet, out[:3]))
	assert.Equal(t, []zoning.Mask{0b1111, 0, zoning.Unknown}, out[:3])
}

// The least step that any machine is held to; without one no step is cared for.
func TestStepThatIsCaredFor(t *testing.T) {
	assert.Equal(t, 0.25, zoning.Fleet([]zoning.Machine{{StepM: 0.4}, {StepM: 0.25}, {}, {StepM: 0.3, RoughM: 0.1}}).StepCareM())
	assert.True(t, math.IsInf(zoning.Fleet([]zoning.Machine{{}, {RoughM: 0.1}}).StepCareM(), 1))
}
