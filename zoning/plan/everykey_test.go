package plan

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every key of a machine sets its own figure, in the unit that the field is kept in.
func TestEveryKeyOfAMachine(t *testing.T) {
	three := func(v float64) Range { return Range{v, v + 1, v + 2} }
	var f Figures
	given := map[string]string{
		"rate_open": "1ac/h, 2ac/h, 3ac/h", "rate_light": "200ac/day, 201ac/day, 202ac/day", "rate_medium": "3ac/h, 4ac/h, 5ac/h", "rate_heavy": "4ac/h, 5ac/h, 6ac/h",
		"slope_factor": "100% at 10%, 50% at 30%", "stem_factor": "80% at 4in", "machine": "$11/h, $12/h, $13/h", "operator": "$21/h, $22/h, $23/h",
		"fuel": "$31/h, $32/h, $33/h", "teeth": "$41/h, $42/h, $43/h", "owned": "3", "loads": "20", "width": "9.5ft", "height": "13ft", "gross_weight": "81,000lb",
		"haul_rate": "$4.50/mi", "handling": "1.5h", "permit": "$75", "walk_speed": "2mph", "remote": "yes", "basis": "my books",
	}
	for _, key := range MachineKeys() {
		require.Contains(t, given, key)
		require.NoError(t, f.Set(key, given[key]))
	}
	f.figuresText = figuresText{}
	want := Figures{SlopeFactor: Curve{{10, 1}, {30, 0.5}}, StemFactor: Curve{{4, 0.8}}, Machine: three(11), Operator: three(21), Fuel: three(31), Teeth: three(41),
		Owned: 3, Loads: 20, WidthFt: 9.5, HeightFt: 13, GrossLb: 81000, HaulPerMile: 4.5, HandlingH: 1.5, PermitUSD: 75, WalkMPH: 2, Remote: true, Basis: "my books"}
	want.Rate[Open], want.Rate[Light], want.Rate[Medium], want.Rate[Heavy] = Rate{three(1), false}, Rate{three(200), true}, Rate{three(3), false}, Rate{three(4), false}
	assert.Equal(t, want, f)
	require.NoError(t, f.check(), "by the day more acres are likely than by the hour")
	for key, bad := range map[string]string{"loads": "21", "owned": "15", "remote": "maybe", "wings": "2"} {
		assert.Error(t, f.Set(key, bad), key)
	}
	assert.ErrorContains(t, f.Set("loads", "0"), "travels in no load")
	require.NoError(t, f.Set("owned", "14"))
	require.NoError(t, f.Set("remote", "no"))
	assert.False(t, f.Remote)
}

// Every key of a job does.
func TestEveryKeyOfAJob(t *testing.T) {
	var j Job
	given := map[string]string{
		"haul_miles": "30mi", "haul_speed": "45mph", "support_truck": "$1/h, $2/h, $3/h", "productive": "60%, 70%, 80%", "day": "9h", "week": "6days",
		"weather": "5%, 10%, 15%", "obstacles": "80%, 85%, 90%", "finish": "90%, 95%, 100%", "rest": "hand", "hand_work": "$3000/ac, $3500/ac, $4000/ac",
		"left_standing": "$4,000/ac", "worth": "$1,500/ac", "least_work": "0.5day", "minimum_charge": "$2,500", "overhead": "12%", "contingency": "11%", "margin": "15%", "window": "40days",
		"start": "2026-03-02", "end": "2026-03-29", "days": "12days", "bring": "track-loader, boom-head", "budget": "$15,000", "bridge": "30000lb", "gate": "14ft", "tree_height": "60ft", "setback": "filter-strip", "basis": "my books",
	}
	for _, key := range JobKeys() {
		require.Contains(t, given, key)
		require.NoError(t, j.Set(key, given[key]))
	}
	require.NoError(t, j.check())
	j.figuresText = figuresText{}
	day := func(d int) time.Time { return time.Date(2026, 3, d, 0, 0, 0, 0, time.UTC) }
	close := func(want, got Range) {
		t.Helper()
		assert.InDeltaSlice(t, []float64{want.Low, want.Likely, want.High}, []float64{got.Low, got.Likely, got.High}, 1e-12)
	}
	close(Range{0.6, 0.7, 0.8}, j.Productive)
	close(Range{0.05, 0.1, 0.15}, j.Weather)
	close(Range{0.8, 0.85, 0.9}, j.Obstacles)
	close(Range{0.9, 0.95, 1}, j.Finish)
	assert.InDeltaSlice(t, []float64{0.12, 0.11, 0.15}, []float64{j.Overhead, j.Contingency, j.Margin}, 1e-12)
	j.Productive, j.Weather, j.Obstacles, j.Finish, j.Overhead, j.Contingency, j.Margin = Range{}, Range{}, Range{}, Range{}, 0, 0, 0
	assert.Equal(t, Job{HaulMiles: 30, HaulMPH: 45, SupportTruck: Range{1, 2, 3}, DayH: 9, WeekDays: 6, Rest: Hand, HandPerAcre: Range{3000, 3500, 4000},
		StandingPerAcre: 4000, LeastWorkDays: 0.5, MinimumUSD: 2500, WindowDays: 40, Start: day(2), End: day(29), Terms: Terms{Bring: []string{"track-loader", "boom-head"}, Days: 12, BudgetUSD: 15000, WorthPerAcre: 1500}, BridgeLb: 30000, GateFt: 14, TreeFt: 60, Setback: "filter-strip", Basis: "my books"}, j)
	for key, bad := range map[string]string{"rest": "burn", "setback": "50", "start": "2 March", "end": "soon", "wings": "2"} {
		assert.Error(t, j.Set(key, bad), key)
	}
}
