package slope

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// northUp is a frame whose rows go south by so many degrees from 60° north, columns east, or,
// turned, the other way about.
func northUp(t *testing.T, step, cols, rows int, degrees float64, turned bool) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(step, 0, 0, cols, rows, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			if turned {
				c = [2]float64{c[1], c[0]}
			}
			out[i] = [2]float64{c[0] * degrees, 60 - c[1]*degrees}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// Each row has the metric of its own middle, at the rim and beside a void too: ground that
// rises 1 km a column, east, by hand 1/(111.32 km · 0.5 · cos φ), but for the ellipsoid's 0.3%.
func TestMetricOfTheRowsMiddle(t *testing.T) {
	frame := northUp(t, 1, 60, 60, 0.5, false)
	const cols, rows = 6, 24
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(1000 * (i % cols))
	}
	z[9*cols+4] = nan
	g := &terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: 5, Row0: 7, Frame: frame}
	f, wide := must(Of(g)), reliefField(g)
	require.NoError(t, Planes(g, Footprint{1, 1}, 0.5, 0, rows, wide))
	for i, h := range z {
		if h != h {
			continue
		}
		want := 1000 / (111320 * 0.5 * math.Cos((60-(7+float64(i/cols)+0.5)/2)*math.Pi/180))
		for _, got := range []float32{f.Squared[i], wide.Squared[i]} {
			assert.InEpsilon(t, want, math.Sqrt(float64(got)), 4e-3, "cell %d", i)
			assert.InEpsilon(t, 1e6*frame.MetricAt(5+float64(i%cols)+0.5, 7+float64(i/cols)+0.5).A, got, 2e-5, "cell %d", i)
		}
	}
}

// Cells share a metric as long as slope stays within 2e-6 of itself, and so it does: along
// rows that go south by 1.3 m a cell, through pieces of 64 cells, wherever a window begins.
func TestSlopeIsWithinTwoMillionthsOfItsCellsMetric(t *testing.T) {
	frame := northUp(t, 64, 400, 10, 1.2e-5, true)
	const cols, rows = 300, 5
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(i / cols)
	}
	for _, col0 := range []int{0, 37} {
		g := &terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: col0, Row0: 2, Frame: frame}
		f, wide := must(Of(g)), reliefField(g)
		require.NoError(t, Planes(g, Footprint{1, 1}, 0.5, 0, rows, wide))
		for c := range cols {
			want := frame.MetricAt(float64(col0+c)+0.5, 4.5).C
			assert.InEpsilon(t, want, f.Squared[2*cols+c], 4.2e-6, "%d from %d", c, col0)
			assert.InEpsilon(t, want, wide.Squared[2*cols+c], 4.2e-6, "%d from %d", c, col0)
		}
	}
	// A metric that shrinks along the row counts as one that grows; 32 cells are within it
	// where a cell changes slope² by 2.5e-7.
	for _, sign := range []float64{1, -1} {
		p := terrain.RowMetric{Start: terrain.Metric{A: 2, C: 4}}
		p.PerCol.A = sign * 2 * 2.5e-7
		assert.Equal(t, 32, blockCols(p))
		p.PerCol.A = sign * 2 * 2.6e-7
		assert.Equal(t, 16, blockCols(p))
		p.PerCol.A, p.PerCol.C = 0, sign*4*2.6e-7
		assert.Equal(t, 16, blockCols(p))
	}
}

// Aspect is told in 256ths of a turn, and is off by no more than one though a piece of the
// row, 4° of latitude here, turns the axes: by hand ground that rises as much a column, south, as
// a row, east, falls north-west at atan2 of the two sides.
func TestAspectAlongAPieceOfTheRow(t *testing.T) {
	frame := northUp(t, 8, 60, 20, 0.25, true)
	const cols, rows = 40, 5
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(100 * (i%cols + i/cols))
	}
	g := &terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: 5, Row0: 2, Frame: frame}
	f := NewField(g)
	f.AddAspect()
	require.NoError(t, Rows(g, 0, rows, f))
	for c := 1; c < cols-1; c++ {
		east := math.Cos((60 - (5+float64(c)+0.5)*0.25) * math.Pi / 180) // of a side south
		// Along the row is south and down the column east; both fall back.
		want := 128 + math.Atan2(1/east, 1)/(2*math.Pi)*256
		assert.InDelta(t, want, float64(f.Aspect[2*cols+c]), 1.1, "column %d", c)
	}
}

// Rows of a part of a field are those of the whole, to the bit, at cell and at machine scale.
func TestRowsOfAPart(t *testing.T) {
	rng := rand.New(rand.NewPCG(71, 72))
	z := make([]float32, 9*12)
	for i := range z {
		z[i] = float32(rng.NormFloat64())
	}
	z[5*9+3] = nan
	g := grid(t, z, 9, 12, 1, 2)
	for name, compute := range map[string]func(r0, r1 int, f *Field) error{
		"cells":  func(r0, r1 int, f *Field) error { return Rows(g, r0, r1, f) },
		"planes": func(r0, r1 int, f *Field) error { return Planes(g, Footprint{1, 1}, 0.5, r0, r1, f) },
	} {
		whole, parts := reliefField(g), reliefField(g)
		whole.AddAspect()
		parts.AddAspect()
		parts.AddUpper()
		require.NoError(t, compute(0, 12, whole))
		for _, of := range [][2]int{{7, 12}, {0, 3}, {3, 7}} {
			part := parts.Part(of[0], of[1])
			assert.Len(t, part.UpperSquared, 9*(of[1]-of[0]))
			require.NoError(t, compute(of[0], of[1], part))
			for i := range part.UpperSquared {
				part.UpperSquared[i] = float32(9*of[0] + i)
			}
		}
		for i, h := range z {
			assert.EqualValues(t, i, parts.UpperSquared[i])
			if h != h {
				assert.True(t, math.IsNaN(float64(parts.Squared[i])), name)
				continue
			}
			assert.Equal(t, whole.Squared[i], parts.Squared[i], "%s: cell %d", name, i)
			assert.Equal(t, whole.Step[i], parts.Step[i], "%s: cell %d", name, i)
			assert.Equal(t, whole.RoughSquared[i], parts.RoughSquared[i], "%s: cell %d", name, i)
			assert.Equal(t, whole.Aspect[i], parts.Aspect[i], "%s: cell %d", name, i)
		}
	}
}

// A corner of four cells, the one across from it raised by 0.9 m, by hand. Horn's weights of
// 2 and 1 both ways put the mean column and row at a third, so that the plane rises by 0.3 m
// a cell both ways; with equal weights by 0.45 m, from which each height lies 0.225 m off and
// each step 0.45 m.
func TestSlopeAtACorner(t *testing.T) {
	g := grid(t, []float32{0, 0, 0, 0, 0.9, 0, 0, 0, 0}, 3, 3, 1, 1)
	f := must(Of(g))
	assert.InDelta(t, 0.3*0.3*2, f.Squared[0], 1e-6)
	wide := reliefField(g)
	require.NoError(t, Planes(g, Footprint{1, 1}, 9, 0, 3, wide))
	assert.InDelta(t, 0.45*0.45*2, wide.Squared[0], 1e-6)
	assert.InDelta(t, 0.225*0.225, wide.RoughSquared[0], 1e-6)
	assert.InDelta(t, 0.45, wide.Step[0], 1e-6, "told, not bounded, where cells are missing")
	// In the middle, where the bound of √18·e is the very care taken, it stands.
	bound := wide.Step[4]
	assert.InDelta(t, math.Sqrt(18*0.08), bound, 1e-6)
	require.NoError(t, Planes(g, Footprint{1, 1}, float64(bound), 0, 3, wide))
	assert.Equal(t, bound, wide.Step[4])
}

// Grids narrower than a footprint, to one column, have the slopes of what remains; cells on
// one line, whatever way it runs, have none; and no roughness is less than none.
func TestPlanesOfLittleGround(t *testing.T) {
	for _, cols := range []int{1, 2, 3, 4, 5, 8} {
		g := surface(t, cols, 12, 1, func(x, y float64) float64 { return 0.3*x + 0.4*y })
		wide := reliefField(g)
		require.NoError(t, Planes(g, Footprint{4, 1}, 0.5, 0, 12, wide))
		for i, s := range must(Of(g)).Squared {
			if cols == 1 {
				assert.True(t, math.IsNaN(float64(s)) && math.IsNaN(float64(wide.Squared[i])), "one line of cells")
				continue
			}
			assert.InDelta(t, 0.25, s, 1e-5, "%d columns, cell %d", cols, i)
			assert.InDelta(t, 0.25, wide.Squared[i], 1e-5, "%d columns, cell %d", cols, i)
		}
	}
	rng := rand.New(rand.NewPCG(73, 74))
	for range 50 {
		z := make([]float32, 7*3)
		for i := range z {
			z[i] = nan
		}
		z[0], z[10], z[20] = rng.Float32(), rng.Float32(), rng.Float32()
		assert.True(t, math.IsNaN(float64(planeOfRemaining(grid(t, z, 7, 3, 1, 1), Footprint{3, 1}, 3, 1).squared)))
	}
	high := surface(t, 60, 40, 1, func(x, y float64) float64 { return 4000 + math.Floor(x)*0.375 - math.Floor(y)*0.625 })
	for i, rough := range planes(high, Footprint{2, 2}).RoughSquared {
		assert.GreaterOrEqual(t, rough, float32(0), "cell %d", i)
	}
}

// The slope of a facet, by hand: a rise of the two heights on one side over those on the
// other. Independent errors of σ leave 4·(σ/2)² of variance to it.
func TestSlopeOfAFacet(t *testing.T) {
	k := FacetKernel()
	assert.Equal(t, Kernel{[]float64{-1, 1}, []float64{0.5, 0.5}, []float64{-1, 1}, []float64{0.5, 0.5}}, k)
	assert.InDelta(t, 0.3, Noise{SigmaM: 0.3}.Covariance(k, square(1)).MaxSigma(), 1e-12)
}

// On cells of 1 × 20 m the worst range is that of the short side, a twentieth of the long one.
func TestWorstRangeOnOblongCells(t *testing.T) {
	m, k, most := terrain.Metric{A: 1, C: 1. / 400}, PlaneKernel(1, 1), 0.0
	for r := 0.02; r < 200; r *= 1.01 {
		most = max(most, Noise{SigmaM: 1, RangeM: r}.Covariance(k, m).MaxSigma())
	}
	assert.InEpsilon(t, most, Noise{SigmaM: 1, RangeM: RangeUnknown}.Covariance(k, m).MaxSigma(), 1e-3)
}

// Without what cells hide, the slope that is surely below a limit is that of the noise.
func TestSureBelowWithoutWhatCellsHide(t *testing.T) {
	cov := Noise{SigmaM: 0.1}.Covariance(HornKernel(), square(3))
	assert.Equal(t, cov.SureBelow(0.4, Certainty), Spread{Cov: cov}.SureBelow(0.4, Certainty))
}
