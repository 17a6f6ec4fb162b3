package zoning

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// On a tether: 100%, off it 60%; on wet ground 40%, and no tether.
var hung = Machine{
	Key: "crawler", LimitPct: 100, CrossPct: 45, Wet: Limits{40, 25}, TetherAbovePct: 60, TetherBasis: "manual, p. 31", TetherM: 30, Anchor: "boom",
}

// Off a tether a machine is held to where its tether begins; the limit along is the only
// one that changes.
func TestDrivingIsOffATether(t *testing.T) {
	assert.Equal(t, Limits{60, 45}, hung.Driving())
	m := hung
	m.TetherAbovePct = 0
	assert.Equal(t, Limits{100, 45}, m.Driving(), "it asks for none")
	m.TetherAbovePct = 120
	assert.Equal(t, Limits{100, 45}, m.Driving(), "a tether raises no limit")
}

// The steepest ground is that on a tether where the manual says so, and only there.
func TestSteepestOnATether(t *testing.T) {
	assert.Equal(t, 100.0, hung.SteepestPct())
	m := hung
	m.TetherBasis = ""
	assert.Equal(t, 60.0, m.SteepestPct(), "no basis")
	m.TetherAbovePct = 0
	assert.Equal(t, 100.0, m.SteepestPct(), "no tether is asked for")
}

// Cause: a tether allowed on wet ground went unnoticed by this package's tests.
func TestNoTetherOnWetGround(t *testing.T) {
	wet := hung.On(Wet)
	assert.Empty(t, wet.TetherBasis)
	assert.Equal(t, 40.0, wet.SteepestPct())
	assert.Equal(t, Limits{40, 25}, wet.Driving())

	m := hung
	m.Wet = Limits{}
	wet = m.On(Wet)
	assert.Equal(t, Limits{60, 45}, wet.Driving(), "without limits of its own for wet ground it is held to those off the tether")
	assert.Equal(t, 60.0, wet.SteepestPct())
}

// Cause: a limit for swinging on wet ground above that for driving there went unnoticed.
func TestStandingIsHeldToDriving(t *testing.T) {
	m := Machine{LimitPct: 35, CrossPct: 15, Wet: Limits{20, 8}, Swing: Limits{50, 30}, WetSwing: Limits{45, 28}}
	assert.Equal(t, Limits{35, 15}, m.Standing(), "dry")
	assert.Equal(t, Limits{20, 8}, m.On(Wet).Standing(), "wet")
	m.Swing, m.WetSwing = Limits{25, 10}, Limits{15, 5}
	assert.Equal(t, Limits{25, 10}, m.Standing(), "dry, below driving")
	assert.Equal(t, Limits{15, 5}, m.On(Wet).Standing(), "wet, below driving")
	m.WetSwing = Limits{15, 9}
	assert.Equal(t, Limits{15, 8}, m.On(Wet).Standing(), "across, driving is lower")
	m.WetSwing = Limits{22, 5}
	assert.Equal(t, Limits{20, 5}, m.On(Wet).Standing(), "along, driving is lower")
	tethered := hung
	tethered.Swing = Limits{80, 40}
	assert.Equal(t, Limits{60, 40}, tethered.Standing(), "nobody swings on a tether")
}

// On dry ground nothing of a machine changes; on wet ground only its limits and its
// tether do.
func TestOnChangesLimitsAlone(t *testing.T) {
	assert.Equal(t, hung, hung.On(Dry))
	m := hung
	m.EdgePct, m.ReachM, m.WidthM, m.StepM = 33, 6, 2, 0.3
	want := m
	want.LimitPct, want.CrossPct, want.Swing, want.TetherBasis = 40, 25, Limits{40, 25}, ""
	want.FacePct = 60 // crests of dry ground count on wet, too
	got := m.On(Wet)
	assert.Equal(t, want, got)
	assert.Equal(t, 33.0, got.EdgePct, "its own edge is kept")
	assert.Equal(t, DefaultEdgePct, hung.On(Wet).EdgePct, "else that of dry ground: an edge is no gentler for rain")
	steep := Machine{Key: "s", LimitPct: 90, Wet: Limits{40, 0}}
	assert.Equal(t, 90.0, steep.On(Wet).EdgePct, "what it drives on is no edge")
	assert.Zero(t, hung.On(Dry).EdgePct)

	fleet := []Machine{{Key: "a", LimitPct: 30, Wet: Limits{20, 0}}, hung}
	on := Fleet(fleet).On(Wet)
	assert.Equal(t, []string{"a", "crawler"}, []string{on[0].Key, on[1].Key})
	assert.Equal(t, []float64{20, 40}, []float64{on[0].LimitPct, on[1].LimitPct})
	assert.Equal(t, []float64{30, 100}, []float64{fleet[0].LimitPct, fleet[1].LimitPct}, "the fleet stays as it is")
	assert.Equal(t, Fleet(fleet), Fleet(fleet).On(Dry))
}

// A limit left out along, and one across, are taken over each by itself.
func TestLimitsOrAndLeast(t *testing.T) {
	a, b := Limits{30, 0}, Limits{20, 10}
	assert.Equal(t, Limits{30, 10}, a.or(b))
	assert.Equal(t, Limits{20, 10}, Limits{}.or(b))
	assert.Equal(t, Limits{20, 10}, b.or(a))
	assert.Equal(t, Limits{7, 10}, Limits{0, 10}.or(Limits{7, 8}))
	assert.Equal(t, Limits{20, 10}, a.least(b))
	assert.Equal(t, Limits{20, 10}, b.least(a))
	assert.Equal(t, Limits{20, 0}, Limits{20, 0}.least(Limits{30, 0}))
	assert.Equal(t, Limits{5, 10}, Limits{0, 10}.least(Limits{5, 12}))
}

// By hand: 200 ft are 60.96 m, 300 ft are 91.44 m; a foot is 0.3048 m exactly
// (international yard and pound agreement, 1959).
func TestPlanningValues(t *testing.T) {
	assert.Equal(t, 0.3048, MetresPerFoot)
	assert.InDelta(t, 60.96, DefaultRunM, 1e-12)
	assert.InDelta(t, 91.44, DefaultThrownM, 1e-12)
	assert.Equal(t, 3.0, DefaultFootprintM)
	assert.Equal(t, 2e-4, TieRise)
	assert.Equal(t, 14, MaxMachines)
}

// Slope is taken over the smallest footprint, that of a machine which states none
// being 3 m.
func TestLeastFootprint(t *testing.T) {
	at := func(footprints ...float64) float64 {
		var fleet []Machine
		for _, f := range footprints {
			fleet = append(fleet, Machine{FootprintM: f})
		}
		return Fleet(fleet).LeastFootprintM()
	}
	assert.Equal(t, 2.5, at(4, 2.5, 3.5))
	assert.Equal(t, 4.0, at(4))
	assert.Equal(t, 3.0, at(4, 0))
	assert.Equal(t, 2.0, at(0, 2))
	assert.Equal(t, 3.0, at(0))
	assert.True(t, math.IsInf(at(), 1))
}

// No-go is said before unknown, unknown before any machine; a set is its first machine.
func TestBandsOfMasks(t *testing.T) {
	fleet := []Machine{{Key: "a", Name: "A"}, {Key: "b", Name: "B"}}
	assert.Equal(t, []Band{
		{"a", "A", 0}, {"b", "B", 1}, {"needs-machine", "Needs a machine not brought", -1}, {"waits-dry", "Waits for dry ground", -1}, {"no-machine", "No machine: hand work or leave", -1}, {"no_data", "No elevation data", -1},
		{"no-go", "No-go: closed to machines", -1},
	}, Fleet(fleet).Bands())
	for mask, want := range map[Mask][2]int{ // band, first machine
		0b01: {0, 0}, 0b11: {0, 0}, 0b10: {1, 1}, NeedsMachine: {2, -1}, WaitsDry: {3, -1}, 0: {4, -1}, Unknown: {5, -1}, NoGo: {6, -1},
		NoGo | Unknown: {6, -1}, NoGo | 0b01: {6, -1}, Unknown | 0b01: {5, -1},
	} {
		assert.Equal(t, want, [2]int{make(Fleet, 2).Band(mask), mask.First()}, "%016b", mask)
	}
	assert.Equal(t, 13, Mask(1<<13).First(), "the last machine that a mask holds")
	assert.Equal(t, 13, make(Fleet, MaxMachines).Band(1<<13))
}

// What no map can be made with is refused with what is wrong.
func TestFleetCheckRefuses(t *testing.T) {
	ok := Machine{Key: "a", LimitPct: 30}
	with := func(change func(m *Machine)) []Machine {
		b := Machine{Key: "b", LimitPct: 35}
		change(&b)
		return []Machine{ok, b}
	}
	assert.NoError(t, Fleet(with(func(*Machine) {})).Check())
	assert.NoError(t, Fleet(with(func(m *Machine) { m.LimitPct = 0.1 })).Check())
	assert.ErrorContains(t, Fleet(nil).Check(), "no machine")
	assert.ErrorContains(t, Fleet(with(func(m *Machine) { m.Key = "" })).Check(), "machine 2")
	for _, key := range []string{"a", "needs-machine", "waits-dry", "no-machine", "no_data", "no-go"} {
		assert.ErrorContains(t, Fleet(with(func(m *Machine) { m.Key = key })).Check(), key)
	}
	for _, limit := range []float64{0, -5, math.NaN()} {
		assert.ErrorContains(t, Fleet(with(func(m *Machine) { m.LimitPct = limit })).Check(), `"b"`, "%g", limit)
	}
	assert.ErrorContains(t, Fleet(with(func(m *Machine) { m.LimitPct, m.CrossPct = -5, 15 })).Check(), "-5%")
	assert.NoError(t, Fleet([]Machine{ok}).Check())
}

// Every reason has its own key and words: files and people tell them apart.
func TestReasonsAreToldApart(t *testing.T) {
	want := map[Why]Reason{
		Works: {"works", "may work it"}, Closed: {"closed", "closed to machines"}, InSetback: {"setback", "setback"}, NotMeasured: {"no_data", "no elevation"},
		TooSteep: {"slope", "slope"}, TooGreatAStep: {"step", "step or roughness"}, NearDropOff: {"drop-off", "drop-off"}, NearCrest: {"crest", "crest of a steep face"}, TooSoft: {"soft-ground", "soft ground"},
		TooMuchGrowth: {"growth", "growth"}, LeaveTrees: {"leave-trees", "leave trees"}, OverPosting: {"posting", "gate or bridge"}, TooNarrow: {"width", "too narrow"}, NoTurn: {"no-turn", "no turn"},
		OnlyAcross: {"cross-slope", "cross slope"}, NoWayIn: {"no-access-route", "no access route"}, OutOfReach: {"reach", "out of reach"}, TooSmallAPatch: {"patch-size", "patch too small"},
	}
	assert.Len(t, want, Reasons)
	for r, w := range want {
		assert.Equal(t, w, r.Among(nil))
	}
}
