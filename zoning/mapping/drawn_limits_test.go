package mapping

import (
	"math"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// round is an error of one standard deviation of slope in all directions.
func round(sigma float64) slope.Cov {
	return slope.Cov{PP: sigma * sigma, QQ: sigma * sigma, Metric: terrain.Metric{A: 1, C: 1}}
}

// sureBelow solves for the measured slope in percent under which ground is below a limit
// with 90% certainty: (s + z·σ)² + k·σ² = limit², z the normal quantile of 0.9 and k
// what its square lacks to 2·ln 10 (tables of the normal distribution).
func sureBelow(limitPct, sigma float64) float64 {
	const z = 1.2815515655446004
	l := limitPct/100 - 0.0002 // a tie is over
	k := 2*math.Ln10 - z*z
	return 100 * (math.Sqrt(l*l-k*sigma*sigma) - z*sigma)
}

// slopesOf lists the slopes that a machine holds, by the path of their fields.
func slopesOf(m *zoning.Machine) map[string]*float64 {
	out := map[string]*float64{}
	var walk func(path string, v reflect.Value)
	walk = func(path string, v reflect.Value) {
		for i := range v.NumField() {
			name := path + v.Type().Field(i).Name
			switch f := v.Field(i); {
			case f.Kind() == reflect.Struct:
				walk(name+".", f)
			case strings.HasSuffix(name, "Pct"):
				out[name] = f.Addr().Interface().(*float64)
			}
		}
	}
	walk("", reflect.ValueOf(m).Elem())
	return out
}

// Whatever slope a machine has, now or later: a margin comes off it, and the error of
// the heights off those along; none is left out. Beside them the fall whose edge a boom
// keeps back from was left where it was, so that wet ground, which fixes it, gave more
// than dry. The rating is no limit that zones are drawn by.
func TestMarginAndErrorSkipNoLimit(t *testing.T) {
	const sigma = 0.02
	m := zoning.Machine{ // no two alike, and none above what bounds it
		RatedMaxPct: 60, LimitPct: 49, EdgePct: 48, FacePct: 40, CrossPct: 30,
		Wet: zoning.Limits{AlongPct: 47, CrossPct: 29}, Swing: zoning.Limits{AlongPct: 46, CrossPct: 28},
		WetSwing: zoning.Limits{AlongPct: 45, CrossPct: 27}, ReachUpPct: 44, ReachDownPct: 43,
		ProcedureAbovePct: 42, TetherAbovePct: 41,
	}
	for _, o := range []Options{{MarginPct: 3}, {Cautious: true}, {MarginPct: 3, Cautious: true}, {}} {
		held := o.within(round(sigma), []zoning.Machine{m})[0]
		own := slopesOf(&m)
		require.Len(t, own, 15, "a new slope: say here whether a margin comes off it")
		for name, pct := range slopesOf(&held) {
			want := *own[name]
			if o.Cautious && !strings.HasSuffix(name, "CrossPct") && name != "RatedMaxPct" {
				want = sureBelow(want, sigma) + 0.02
			}
			if name != "RatedMaxPct" {
				want -= o.MarginPct
			}
			assert.InDelta(t, want, *pct, 1e-9, "%s with %+v", name, o)
		}
	}
	// 0 asks for nothing and stays so; what a margin eats whole lets no ground through.
	assert.Equal(t, zoning.Machine{LimitPct: 1e-3}, Options{MarginPct: 50}.within(round(sigma), []zoning.Machine{{LimitPct: 45}})[0])
	assert.Equal(t, 1e-3, Options{MarginPct: 45}.within(round(sigma), []zoning.Machine{{LimitPct: 45}})[0].LimitPct)
	fleet := []zoning.Machine{{LimitPct: 45, CrossPct: 20}}
	Options{MarginPct: 5, Cautious: true}.within(round(sigma), fleet)
	assert.Equal(t, []zoning.Machine{{LimitPct: 45, CrossPct: 20}}, fleet, "the fleet is not changed")
}

// Ground is surely within what the machine may be on at all: on a tether only where its
// manual allows one, else what it drives on.
func TestSureIsByTheLimitThatHolds(t *testing.T) {
	const sigma = 0.03
	fleet := []zoning.Machine{
		{LimitPct: 30},
		{LimitPct: 100, TetherAbovePct: 60},
		{LimitPct: 100, TetherAbovePct: 60, TetherBasis: "manual"},
		{LimitPct: 7}, // no slope at all is surely below it: k·σ² is more than its square
		{LimitPct: 5},
	}
	got := SurePct(round(sigma), fleet)
	require.Len(t, got, 5)
	for i, limit := range []float64{30, 60, 100, 7} {
		assert.InDelta(t, sureBelow(limit, sigma), got[i], 1e-9, "%g%%", limit)
	}
	assert.Zero(t, got[4])
}

// The error is that of the slopes that are mapped: of Horn's 3 × 3 cells at cell scale,
// of the plane under a machine elsewhere. Independent noise σ on cells w gives Horn's
// gradient 0.4330 σ/w; the plane over 3 × 3 cells 0.4082 σ/w (Evans; Sharpnack and Akin
// 1969).
func TestCovarianceIsThatOfTheScale(t *testing.T) {
	g, err := terrain.NewGrid(make([]float32, 100), 10, 10, 2, 2)
	require.NoError(t, err)
	noise := slope.Noise{SigmaM: 0.1}
	assert.InDelta(t, 0.4330*0.1/2, covariance(noise, scaled{}, g).MaxSigma(), 1e-5)
	assert.InDelta(t, 0.4082*0.1/2, covariance(noise, scaled{footprint: &slope.Footprint{HalfCols: 1, HalfRows: 1}}, g).MaxSigma(), 1e-5)
}

// What nobody says of the error is assumed of the longer side of a cell; what is said is
// taken.
func TestNoiseIsAssumedOfTheLongerSide(t *testing.T) {
	assert.Equal(t, slope.AssumedNoise(30), Options{}.noise([2]float64{1, 30}))
	assert.Equal(t, slope.AssumedNoise(30), Options{}.noise([2]float64{30, 1}))
	own := slope.Noise{SigmaM: 0.5}
	assert.Equal(t, own, Options{Noise: &own}.noise([2]float64{30, 1}))
}

// At most 30% surely means a lower measured slope, as at most 35% does.
func TestAProcedureIsAskedByTheErrorToo(t *testing.T) {
	g, err := terrain.NewGrid(make([]float32, 100), 10, 10, 75, 92)
	require.NoError(t, err)
	sc, err := scaleFor(AutoScale, []zoning.Machine{{LimitPct: 35}}, [2]float64{75, 92})
	require.NoError(t, err)
	cov := covariance(slope.Noise{SigmaM: 4, RangeM: slope.RangeUnknown, From: "test"}, sc, g)
	held := Options{Cautious: true}.within(cov, []zoning.Machine{{LimitPct: 35, ProcedureAbovePct: 30}})[0]
	assert.InDelta(t, 100*cov.SureBelow(0.30-zoning.TieRise, slope.Certainty), held.ProcedureAbovePct-100*zoning.TieRise, 1e-9)
	assert.Less(t, held.ProcedureAbovePct, 30.0)
	assert.Zero(t, Options{Cautious: true}.within(cov, []zoning.Machine{{LimitPct: 30}})[0].ProcedureAbovePct, "none was asked for")
}
