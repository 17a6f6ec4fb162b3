package fleet_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
	"github.com/acreband/acreband/zoning/fleet"
)

// The slopes are those of the project's brief: planning defaults, common practice,
// no source. What published rules say of tracked machines is asserted beside them.
func TestDefault(t *testing.T) {
	machines := fleet.Default()
	require.Len(t, machines, 4)
	assertInvariants(t, machines)
	limits := func(along, cross float64) zoning.Limits { return zoning.Limits{AlongPct: along, CrossPct: cross} }
	for i, want := range []struct {
		key, name                                 string
		driving, wet, standing, wetStanding       zoning.Limits
		procedureAbovePct, tetherAbovePct         float64
		reachM, reachUpPct, reachDownPct, tetherM float64
	}{
		{"track-loader", "Track loader", limits(30, 15), limits(20, 10), limits(30, 15), limits(20, 10),
			0, 0, 0, 0, 0, 0},
		{"dedicated-carrier", "Dedicated carrier", limits(30, 15), limits(15, 8), limits(30, 15), limits(15, 8),
			0, 0, 0, 0, 0, 0},
		{"boom-head", "Boom-mounted head", limits(35, 15), limits(20, 8), limits(25, 10), limits(15, 5),
			30, 0, 6.096, 100, 65, 0},
		{"remote-crawler", "Remote crawler", limits(50, 45), limits(40, 25), limits(50, 45), limits(40, 25),
			45, 50, 0, 0, 0, 60.96},
	} {
		m := machines[i]
		assert.Equal(t, want.key, m.Key)
		assert.Equal(t, want.name, m.Name)
		assert.Equal(t, want.driving, m.On(zoning.Dry).Driving(), m.Key)
		assert.Equal(t, want.wet, m.On(zoning.Wet).Driving(), m.Key)
		assert.Equal(t, want.standing, m.On(zoning.Dry).Standing(), m.Key)
		assert.Equal(t, want.wetStanding, m.On(zoning.Wet).Standing(), m.Key)
		assert.Equal(t, want.procedureAbovePct, m.ProcedureAbovePct, m.Key)
		assert.Equal(t, want.tetherAbovePct, m.TetherAbovePct, m.Key)
		assert.InDelta(t, want.reachM, m.ReachM, 1e-9, m.Key)
		assert.Equal(t, want.reachUpPct, m.ReachUpPct, m.Key)
		assert.Equal(t, want.reachDownPct, m.ReachDownPct, m.Key)
		assert.InDelta(t, want.tetherM, m.TetherM, 1e-9, m.Key)

		// The defaults of the package are written out, for the owner to see.
		assert.InDelta(t, zoning.DefaultRunM, m.RunM, 1e-9, m.Key)
		assert.InDelta(t, zoning.DefaultThrownM, m.ThrownM, 1e-9, m.Key)

		assert.Zero(t, m.RatedMaxPct, "%s: the rating is the owner's to enter", m.Key)
		assert.Empty(t, m.TetherBasis, "%s: whether the manual allows it is the owner's to enter", m.Key)
		assert.Regexp(t, "(?i)planning default", m.Basis, m.Key)
		assert.Contains(t, m.Basis, "analog", m.Key)
		assert.Contains(t, m.Basis, "no source", m.Key)
		assert.Contains(t, m.Basis, "s. 26.16", m.Key)
		assert.Contains(t, m.Basis, "437-007-0935(1)", m.Key)
		assert.Contains(t, m.Caution, "The machine's manual governs", m.Key)
	}
	assert.Equal(t, zoning.DefaultFootprintM, machines.LeastFootprintM(), "the scale of slope")

	// British Columbia OHS Regulation s. 26.16 and Oregon OAR
	// 437-007-0935(1): 40% for tracked machines; 50% for equipment specially
	// designed for steep slopes, above which BC asks for a written procedure.
	track, carrier, boom, remote := machines[0], machines[1], machines[2], machines[3]
	for _, m := range []zoning.Machine{track, carrier, boom} {
		assert.LessOrEqual(t, m.LimitPct, 40.0, m.Key)
	}
	assert.LessOrEqual(t, remote.ProcedureAbovePct, 50.0)
}

// What the trade says of the four kinds of machine: common practice, no source.
func TestDefaultIsWhatTheTradeKnows(t *testing.T) {
	const inchM, psiKPa, poundsPerTon = 0.0254, 6.894757, 2000 // NIST Special Publication 811
	machines := fleet.Default()
	track, carrier, boom, remote := machines[0], machines[1], machines[2], machines[3]

	// A track loader with a mulching head handles stems up to about 6 to 8 in.
	assert.GreaterOrEqual(t, track.StemM, 6*inchM)
	assert.LessOrEqual(t, track.StemM, 8*inchM)
	assert.Greater(t, carrier.StemM, track.StemM)
	assert.Greater(t, carrier.TallestM, track.TallestM)

	// Remote crawlers have 50 to 75 hp, the least, and the lowest ground pressure.
	// A dedicated carrier is the heaviest.
	for _, m := range []zoning.Machine{track, boom, carrier} {
		assert.Less(t, remote.StemM, m.StemM, m.Key)
		assert.Less(t, remote.TallestM, m.TallestM, m.Key)
		assert.Less(t, remote.PressureKPa, m.PressureKPa, m.Key)
		assert.Less(t, remote.WidthM, m.WidthM, m.Key)
	}
	for _, m := range []zoning.Machine{track, boom, remote} {
		assert.Greater(t, carrier.PressureKPa, m.PressureKPa, m.Key)
		assert.GreaterOrEqual(t, carrier.WidthM, m.WidthM, m.Key)
		assert.Greater(t, carrier.PatchAcres, 10*m.PatchAcres, m.Key)
	}
	// 23 CFR 658.15 holds loads on the National Network to 102 in (8.5 ft).
	assert.Greater(t, carrier.WidthM, 102*inchM)
	assert.Equal(t, zoning.Production, carrier.Work)

	// A dedicated carrier weighs over 40 000 lb; boom-mounted heads ride on carriers
	// from 8 to 30 tons. Two tracks must spread that within the machine's width and
	// not be narrower than tracks of such machines are, some 16 in.
	tracksIn := func(m zoning.Machine, pounds float64) float64 {
		return pounds / (m.PressureKPa / psiKPa) / (m.FootprintM / inchM)
	}
	assert.Greater(t, tracksIn(carrier, 40_000), 2*16.0)
	assert.Less(t, tracksIn(carrier, 40_000), 0.7*carrier.WidthM/inchM)
	assert.Less(t, tracksIn(boom, 8*poundsPerTon), 2*16.0)
	assert.Greater(t, tracksIn(boom, 30*poundsPerTon), 2*16.0)
	assert.Less(t, tracksIn(boom, 30*poundsPerTon), 0.7*boom.WidthM/inchM)
}

func TestDefaultYAMLRoundTrip(t *testing.T) {
	machines, err := fleet.Parse("default.yaml", fleet.DefaultYAML())
	require.NoError(t, err)
	assert.Equal(t, fleet.Default(), machines)
}

func TestDefaultYAMLIsReadyToEdit(t *testing.T) {
	text := string(fleet.DefaultYAML())
	keys := strings.Split(strings.TrimPrefix(machineKeys, "the keys here are "), ", ")
	require.Greater(t, len(keys), 30)
	for _, key := range keys {
		assert.Regexp(t, `(?m)^#   `+key+` `, text, "%s is explained", key)
	}
	marked := strings.Count(text, "# Planning defaults, common practice, no source: every value of this machine.")
	assert.Equal(t, strings.Count(text, "- key: "), marked)
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

	// So does that of a manual that allows tethered work.
	edited = strings.Replace(text, `# tether_basis: "manual, p. 31"`, `tether_basis: "manual, p. 31"`, 1)
	machines, err = fleet.Parse("edited.yaml", []byte(edited))
	require.NoError(t, err)
	assert.Equal(t, "manual, p. 31", machines[3].TetherBasis)
	assert.Equal(t, "boom-head", machines[3].Anchor)
}

func TestDefaultIsTheCallersOwn(t *testing.T) {
	fleet.Default()[0].LimitPct = 1
	fleet.DefaultYAML()[0] = 'x'
	assert.Equal(t, 30.0, fleet.Default()[0].LimitPct)
	assert.Equal(t, byte('#'), fleet.DefaultYAML()[0])
}

// assertInvariants checks what the package promises of a fleet it accepts.
func assertInvariants(t *testing.T, machines zoning.Fleet) {
	t.Helper()
	require.NoError(t, machines.Check())
	anchors := map[string]bool{}
	for _, m := range machines {
		anchors[m.Key] = true
	}
	for i, m := range machines {
		assert.Regexp(t, `^[a-z0-9][a-z0-9-]*$`, m.Key)
		assert.LessOrEqual(t, m.LimitPct, 173.2050808, "%s: 60deg", m.Key)
		for _, above := range []float64{m.ProcedureAbovePct, m.TetherAbovePct} {
			assert.GreaterOrEqual(t, above, 0.0, m.Key)
			assert.Less(t, above, m.LimitPct, m.Key)
		}
		if m.RatedMaxPct != 0 {
			assert.GreaterOrEqual(t, m.RatedMaxPct, m.LimitPct, m.Key)
		}
		held := m
		held.TetherAbovePct = 0 // a tether holds up to the limit
		dry, wet := held.On(zoning.Dry).Driving(), held.On(zoning.Wet).Driving()
		stand, wetStand := held.On(zoning.Dry).Standing(), held.On(zoning.Wet).Standing()
		for _, pair := range [][2]zoning.Limits{{dry, dry}, {wet, dry}, {stand, dry}, {wetStand, wet}, {wetStand, stand}} {
			assert.Positive(t, pair[0].AlongPct, m.Key)
			assert.LessOrEqual(t, pair[0].AlongPct, pair[1].AlongPct, m.Key)
			assert.LessOrEqual(t, pair[0].CrossPct, pair[0].AlongPct, m.Key)
			if pair[1].CrossPct > 0 {
				assert.Positive(t, pair[0].CrossPct, m.Key)
				assert.LessOrEqual(t, pair[0].CrossPct, pair[1].CrossPct, m.Key)
			}
		}
		for _, q := range []float64{m.ReachM, m.ReachUpPct, m.ReachDownPct, m.TetherM, m.FootprintM, m.WidthM, m.StepM, m.RoughM,
			m.RunM, m.TallestM, m.StemM, m.PressureKPa, m.PatchAcres, m.ThrownM} {
			assert.True(t, q >= 0 && q <= 1e9, "%s: %g", m.Key, q)
		}
		assert.Equal(t, m.ReachM > 0, m.ReachUpPct+m.ReachDownPct > 0, m.Key)
		if m.TetherBasis != "" {
			assert.True(t, m.TetherM > 0 && m.Anchor != "", m.Key)
		}
		if m.TetherM > 0 || m.Anchor != "" {
			assert.Positive(t, m.TetherAbovePct, m.Key)
		}
		if m.Anchor != "" {
			assert.True(t, anchors[m.Anchor] && m.Anchor != m.Key, m.Key)
		}
		assert.Contains(t, []zoning.Work{zoning.AnyWork, zoning.Production, zoning.Selective}, m.Work)
		for _, o := range machines[:i] {
			assert.NotEqual(t, limitsOf(o), limitsOf(m), "%s is better than %s in something", m.Key, o.Key)
		}
		assert.NotEmpty(t, m.Name, m.Key)
		assert.NotEmpty(t, m.Basis, m.Key)
		for _, s := range []string{m.Name, m.Basis, m.Caution, m.TetherBasis} {
			assert.Equal(t, strings.Join(strings.Fields(s), " "), s, m.Key)
			assert.Equal(t, strings.ToValidUTF8(s, ""), s, m.Key)
		}
	}
}

// limitsOf leaves out what only names a machine or is told of it.
func limitsOf(m zoning.Machine) zoning.Machine {
	m.Key, m.Name, m.Basis, m.Caution = "", "", "", ""
	if m.TetherBasis != "" {
		m.TetherBasis = "given"
	}
	m.RatedMaxPct, m.ProcedureAbovePct, m.ThrownM = 0, 0, 0
	return m
}
