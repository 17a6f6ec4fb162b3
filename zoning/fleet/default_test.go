package fleet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// The limits are planning values: common practice, no source. What published
// rules say of tracked machines is asserted beside them.
func TestDefault(t *testing.T) {
	machines := fleet.Default()
	require.Len(t, machines, 3)
	assertInvariants(t, machines)
	track, boom, remote := machines[0], machines[1], machines[2]

	assert.Equal(t, "track-loader", track.Key)
	assert.Equal(t, "Track loader", track.Name)
	assert.Equal(t, 30.0, track.LimitPct)
	assert.Zero(t, track.ProcedureAbovePct)
	assert.Zero(t, track.TetherAbovePct)

	assert.Equal(t, "boom-head", boom.Key)
	assert.Equal(t, "Boom-mounted head", boom.Name)
	assert.Equal(t, 40.0, boom.LimitPct)
	assert.Equal(t, 35.0, boom.ProcedureAbovePct)
	assert.Zero(t, boom.TetherAbovePct)

	assert.Equal(t, "remote-crawler", remote.Key)
	assert.Equal(t, "Remote crawler", remote.Name)
	assert.Equal(t, 100.0, remote.LimitPct)
	assert.Equal(t, 60.0, remote.ProcedureAbovePct)
	assert.Equal(t, 60.0, remote.TetherAbovePct)

	// British Columbia OHS Regulation s. 26.16 and Oregon OAR
	// 437-007-0935(1): 40% for tracked machines.
	assert.LessOrEqual(t, track.LimitPct, 40.0)
	assert.LessOrEqual(t, boom.LimitPct, 40.0)

	for _, m := range machines {
		assert.Zero(t, m.RatedMaxPct, "%s: the rating is the owner's to enter", m.Key)
		assert.Regexp(t, "(?i)planning default", m.Basis, m.Key)
		assert.Contains(t, m.Basis, "analog", m.Key)
		assert.Contains(t, m.Basis, "no source", m.Key)
		assert.Contains(t, m.Basis, "s. 26.16", m.Key)
		assert.Contains(t, m.Basis, "437-007-0935(1)", m.Key)
		assert.Contains(t, m.Caution, "The machine's manual governs", m.Key)
	}
}

func TestDefaultYAMLRoundTrip(t *testing.T) {
	machines, err := fleet.Parse("default.yaml", fleet.DefaultYAML())
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), machines)
}

func TestDefaultYAMLIsReadyToEdit(t *testing.T) {
	text := string(fleet.DefaultYAML())
	for _, key := range []string{"key", "name", "limit", "basis",
		"procedure_above", "tether_above", "rated_max", "caution"} {
		assert.Regexp(t, `(?m)^#   `+key+` `, text, "%s is explained", key)
	}
	for _, l := range strings.Split(text, "\n") {
		assert.LessOrEqual(t, len(l), 86, "%q fits a terminal", l)
		assert.NotContains(t, l, "\t")
	}

	// The commented example of a rating becomes one by taking the # away.
	edited := strings.Replace(text, "# rated_max: 45%", "rated_max: 45%", 1)
	machines, err := fleet.Parse("edited.yaml", []byte(edited))
	require.NoError(t, err)
	assert.Equal(t, 45.0, machines[0].RatedMaxPct)
	assert.Equal(t, 30.0, machines[0].LimitPct)
}

func TestDefaultIsTheCallersOwn(t *testing.T) {
	fleet.Default()[0].LimitPct = 1
	fleet.DefaultYAML()[0] = 'x'
	assert.Equal(t, 30.0, fleet.Default()[0].LimitPct)
	assert.Equal(t, byte('#'), fleet.DefaultYAML()[0])
}

// assertInvariants checks what the package promises of a fleet it accepts.
func assertInvariants(t *testing.T, machines []zoning.Machine) {
	t.Helper()
	require.NoError(t, zoning.CheckFleet(machines))
	before := 0.0
	for _, m := range machines {
		assert.Regexp(t, `^[a-z0-9][a-z0-9-]*$`, m.Key)
		assert.Greater(t, m.LimitPct, before, m.Key)
		assert.LessOrEqual(t, m.LimitPct, 173.2050808, "%s: 60deg", m.Key)
		before = m.LimitPct
		for _, above := range []float64{m.ProcedureAbovePct, m.TetherAbovePct} {
			assert.GreaterOrEqual(t, above, 0.0, m.Key)
			assert.Less(t, above, m.LimitPct, m.Key)
		}
		if m.RatedMaxPct != 0 {
			assert.GreaterOrEqual(t, m.RatedMaxPct, m.LimitPct, m.Key)
		}
		assert.NotEmpty(t, m.Name, m.Key)
		assert.NotEmpty(t, m.Basis, m.Key)
		for _, s := range []string{m.Name, m.Basis, m.Caution} {
			assert.Equal(t, strings.Join(strings.Fields(s), " "), s, m.Key)
			assert.Equal(t, strings.ToValidUTF8(s, ""), s, m.Key)
		}
	}
}
