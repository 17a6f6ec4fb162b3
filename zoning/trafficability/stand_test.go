package trafficability

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// plane is ground that rises by rise (over run) towards an azimuth, in cells of
// cellM metres around a height.
func plane(t testing.TB, cols, rows int, cellM, rise, azimuth, height float64) *terrain.Grid {
	t.Helper()
	s, c := math.Sincos(azimuth * math.Pi / 180)
	z := make([]float32, cols*rows)
	for i := range z {
		x := (float64(i%cols) - float64(cols)/2) * cellM
		y := (float64(rows)/2 - float64(i/cols)) * cellM
		z[i] = float32(height + rise*(x*s+y*c))
	}
	g, err := terrain.NewGrid(z, cols, rows, cellM, cellM)
	require.NoError(t, err)
	return g
}

// masksOf are the stand masks of a grid.
func masksOf(g *terrain.Grid, fleet []zoning.Machine) []zoning.Mask {
	out := make([]zoning.Mask, g.Cols*g.Rows)
	Stand(must(slope.Of(g)), fleet, out)
	return out
}

func fleetOf(limitsPct ...float64) []zoning.Machine {
	var fleet []zoning.Machine
	for i, l := range limitsPct {
		fleet = append(fleet, zoning.Machine{Key: string(rune('a' + i)), Name: "Machine", LimitPct: l})
	}
	return fleet
}

// Percent, not degrees: 35% is 19.29deg, and 35deg would be 70%.
func TestStandSidesOfALimit(t *testing.T) {
	fleet := fleetOf(30, 35, 40)
	for _, c := range []struct {
		pct  float64
		want zoning.Mask
	}{
		{0, 0b111}, {29.9, 0b111}, {30, 0b110}, {30.1, 0b110}, {34.9, 0b110},
		{35, 0b100}, {39.9, 0b100}, {40, 0}, {70, 0},
	} {
		for i, m := range masksOf(plane(t, 9, 7, 2, c.pct/100, 0, 100), fleet) {
			assert.Equal(t, c.want, m, "%g%% at cell %d", c.pct, i)
		}
	}
}

// The tie rule: ground as steep as the limit goes to the steeper side, whole,
// whichever way it faces. Float32 heights alone put some of its cells under the
// limit and some over.
func TestStandTieGoesToTheSteeperSideWhole(t *testing.T) {
	under := 0
	for _, cellM := range []float64{1, 2, 10, 30} {
		for azimuth := 0.0; azimuth < 360; azimuth += 7.5 {
			for _, limit := range []float64{30, 35, 40} {
				field := must(slope.Of(plane(t, 60, 50, cellM, limit/100, azimuth, 400)))
				masks := make([]zoning.Mask, len(field.Squared))
				Stand(field, fleetOf(limit, 2*limit), masks)
				for i, m := range masks {
					require.Equal(t, zoning.Mask(0b10), m, "cell %d: %g%% towards %g in cells of %g m", i, limit, azimuth, cellM)
					if field.Pct(i%60, i/60) < limit {
						under++
					}
				}
			}
		}
	}
	assert.Greater(t, under, 4*48*3*3000/5, "the plane is exact; its heights are not")
}

// A tie is 0.01 points of percent, no more: ground short of the limit by twice
// that keeps its machine.
func TestStandTieIsNarrow(t *testing.T) {
	for azimuth := 0.0; azimuth < 360; azimuth += 22.5 {
		grid := plane(t, 60, 50, 10, 0.35-2*zoning.TieRise, azimuth, 100)
		for _, m := range masksOf(grid, fleetOf(35)) {
			require.Equal(t, zoning.Mask(1), m, "azimuth %g", azimuth)
		}
	}
}

func randomField(rng *rand.Rand, n int) *slope.Field {
	f := &slope.Field{Cols: n, Rows: 1, Squared: make([]float32, n)}
	for i := range f.Squared {
		f.Squared[i] = float32(math.Pow(rng.Float64()*1.4, 2))
		if rng.IntN(10) == 0 {
			f.Squared[i] = float32(math.NaN())
		}
	}
	return f
}

// A lower limit never gives a machine a cell, nor takes one from another.
func TestStandLowerLimitOnlyShrinks(t *testing.T) {
	rng := rand.New(rand.NewPCG(21, 22))
	for range 200 {
		f := randomField(rng, 500)
		fleet := fleetOf(5+rng.Float64()*150, 5+rng.Float64()*150, 5+rng.Float64()*150)
		before, after := make([]zoning.Mask, 500), make([]zoning.Mask, 500)
		Stand(f, fleet, before)
		k := rng.IntN(len(fleet))
		fleet[k].LimitPct *= rng.Float64()
		Stand(f, fleet, after)
		for i := range before {
			require.Zero(t, after[i]&^before[i], "cell %d gained a machine", i)
			require.Equal(t, before[i]&^(1<<k), after[i]&^(1<<k), "cell %d: other machines", i)
		}
	}
}

func TestStandUnknownIsNoSetOfMachines(t *testing.T) {
	f := randomField(rand.New(rand.NewPCG(23, 24)), 1000)
	masks := make([]zoning.Mask, 1000)
	fleet := fleetOf(30, 60)
	Stand(f, fleet, masks)
	for i, s := range f.Squared {
		assert.Equal(t, s != s, masks[i] == zoning.Unknown)
		if s != s {
			assert.Equal(t, -1, masks[i].First())
			assert.Equal(t, zoning.UnknownKey, zoning.Fleet(fleet).Bands()[zoning.Fleet(fleet).Band(masks[i])].Key)
		}
	}
}

// The largest fleet, and ground steeper than any of it.
func TestStandLargestFleet(t *testing.T) {
	var limits []float64
	for i := range zoning.MaxMachines {
		limits = append(limits, float64(10*(i+1)))
	}
	fleet := fleetOf(limits...)
	require.NoError(t, zoning.Fleet(fleet).Check())
	for i := range zoning.MaxMachines + 1 {
		masks := masksOf(plane(t, 5, 5, 10, float64(10*i+5)/100, 90, 0), fleet)
		want := i
		if i == zoning.MaxMachines {
			want = zoning.Fleet(fleet).NoMachineBand()
		}
		assert.Equal(t, want, zoning.Fleet(fleet).Band(masks[12]), "%d%%", 10*i+5)
	}
	assert.ErrorContains(t, zoning.Fleet(append(fleet, fleetOf(170)...)).Check(), "at most 14")
}
