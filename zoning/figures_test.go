package zoning

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning/coverage"
)

// A figure of a machine is 0 to the most that any has, and is refused by name beyond.
func TestFiguresToTheMostThatAnyMachineHas(t *testing.T) {
	for _, c := range []struct {
		of    func(m *Machine) *float64
		most  float64
		words string
	}{
		{func(m *Machine) *float64 { return &m.ReachM }, 200, "reach of 200.01m; write 0 to 200m"},
		{func(m *Machine) *float64 { return &m.FootprintM }, 200, "footprint of 200.01m; write 0 to 200m"},
		{func(m *Machine) *float64 { return &m.WidthM }, 100, "width of 100.01m; write 0 to 100m"},
		{func(m *Machine) *float64 { return &m.StepM }, 100, "step of 100.01m; write 0 to 100m"},
		{func(m *Machine) *float64 { return &m.RoughM }, 10, "roughness of 10.01m; write 0 to 10m"},
		{func(m *Machine) *float64 { return &m.RunM }, 1e6, "run of 1.00000001e+06m; write 0 to 1e+06m"},
		{func(m *Machine) *float64 { return &m.TetherM }, 10000, "tether of 10000.01m; write 0 to 1e+04m"},
		{func(m *Machine) *float64 { return &m.TallestM }, 1000, "tallest of 1000.01m; write 0 to 1000m"},
		{func(m *Machine) *float64 { return &m.StemM }, 100, "stem of 100.01m; write 0 to 100m"},
		{func(m *Machine) *float64 { return &m.ThrownM }, 10000, "thrown of 10000.01m; write 0 to 1e+04m"},
		{func(m *Machine) *float64 { return &m.PressureKPa }, 10000, "pressure of 10000.01 kPa; write 0 to 1e+04 kPa"},
		{func(m *Machine) *float64 { return &m.PatchAcres }, 1e6, "patch of 1.00000001e+06 acres; write 0 to 1e+06 acres"},
		{func(m *Machine) *float64 { return &m.EdgePct }, MaxLimitPct, "edge of 173.21508075699998%; write 0 to 173.2%"},
	} {
		m := Machine{Key: "a", LimitPct: 30}
		for v, refused := range map[float64]bool{0: false, c.most: false, c.most + 0.01: true, -0.01: true} {
			*c.of(&m) = v
			err := Fleet{m}.Check()
			assert.Equal(t, refused, err != nil, "%g, %s", v, c.words)
		}
		*c.of(&m) = c.most + 0.01
		assert.EqualError(t, Fleet{m}.Check(), `machine "a": `+c.words)
	}
}

// The least footprint and the least step of the machines count; a footprint that nobody
// gave is 3 m, and a step of 0 holds none back.
func TestTheLeastFootprintAndStepOfAFleet(t *testing.T) {
	f := Fleet{{FootprintM: 4, StepM: 0.5}, {FootprintM: 2.5}, {FootprintM: 3.5, StepM: 0.3}, {StepM: 0.4}}
	assert.Equal(t, 2.5, f.LeastFootprintM())
	assert.Equal(t, 0.3, f.StepCareM())
	assert.Equal(t, 3.0, Fleet{{FootprintM: 4}, {}}.LeastFootprintM())
}

// Growth of several maps is summed: of each surface once, as old as the oldest, and of no
// known age where one's is not; each way of laying is told once.
func TestGrowthOfSeveralMaps(t *testing.T) {
	one := func(path, surveyed, how string, acres float64) *Growth {
		return &Growth{Sources: []terrain.Source{{Path: path}}, Surveyed: surveyed, How: how,
			Lots: []GrowthAcres{{ByClass: [GrowthClasses]float64{acres, 2 * acres}, Unknown: 3 * acres, Water: 4 * acres}, {Unknown: acres}}}
	}
	first := one("a.tif", "2019-05", "cell by cell", 1)
	sum := (*Growth)(nil).With(first)
	sum = sum.With(nil).With(one("b.tif", "2017", "the greatest", 10)).With(one("a.tif", "2020", "cell by cell", 100)).With(one("b.tif", "2018", "the greatest", 1000))
	assert.Equal(t, []terrain.Source{{Path: "a.tif"}, {Path: "b.tif"}}, sum.Sources)
	assert.Equal(t, "2017", sum.Surveyed)
	assert.Equal(t, "cell by cell; the greatest", sum.How)
	assert.Equal(t, []GrowthAcres{{ByClass: [GrowthClasses]float64{1111, 2222}, Unknown: 4444, Water: 4444}}, sum.Lots)
	assert.Empty(t, sum.With(one("c.tif", "", "between", 0)).Surveyed)
	assert.Equal(t, one("a.tif", "2019-05", "cell by cell", 1), first, "the map's own is left as it was")
	assert.Nil(t, (*Growth)(nil).With(nil))
}

// Two added reasons of one key are refused as one of every map's is.
func TestTwoAddedReasonsHaveKeysOfTheirOwn(t *testing.T) {
	assert.ErrorContains(t, CheckReasons([]Reason{{"mine", "a"}, {"yours", "b"}, {"mine", "c"}}), `two reasons have the key "mine"`)
	many := make([]Reason, MostAdded+1)
	assert.ErrorContains(t, CheckReasons(many), "241 reasons are added; a map takes 240")
}

// Zones of machines have working directions; ground without one has none.
func TestOnlyZonesOfMachinesHaveWorkingDirections(t *testing.T) {
	const n = 40
	g := plane(t, n, n, 10, 0.1, 0.05, 100)
	field := must(slope.Of(g))
	field.AddAspect()
	cells := &Cells{Window: coverage.Window{Frame: g.Frame, Cols: n, Rows: n, Masks: make([]Mask, n*n)}}
	for i := range cells.Masks {
		if i%n < n/2 {
			cells.Masks[i] = 1
		}
	}
	m, err := MapLot(cells, field, []Machine{{Key: "a", LimitPct: 30}}, nil, lotOf(g, rectangle(2, 2, n-2, n-2)))
	require.NoError(t, err)
	require.Len(t, m.Zones, 2)
	assert.Len(t, m.Zones[0].Patches, 1)
	assert.Empty(t, m.Zones[1].Patches)
	field.Aspect = nil
	m, err = MapLot(cells, field, []Machine{{Key: "a", LimitPct: 30}}, nil, lotOf(g, rectangle(2, 2, n-2, n-2)))
	require.NoError(t, err)
	assert.Empty(t, m.Zones[0].Patches)
}
