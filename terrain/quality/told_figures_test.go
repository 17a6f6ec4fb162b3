package quality

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// degrees is a frame whose cells are hundredths of a degree, from 12 east and 60 north.
func degrees(t *testing.T, c0, r0, c1, r1 int) *terrain.Frame {
	t.Helper()
	frame, err := terrain.NewFrame(16, c0, r0, c1, r1, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{12 + c[0]/100, 60 - c[1]/100}
		}
		return out, nil
	})
	require.NoError(t, err)
	return frame
}

// What doubts say, with their figures and the cells concerned.
func TestTheFiguresOfDoubts(t *testing.T) {
	const acre = terrain.SquareMetresPerAcre
	cells := gridOf(t, 100, 100, math.Sqrt(acre)/10, always(200)) // 100 to an acre
	water := &Patches{List: []Patch{{Cells: 9, AreaM2: 3 * acre}, {Calm: true, Cells: 10, AreaM2: 1.5 * acre}, {Calm: true, Doubtful: true, Cells: 30, AreaM2: 2 * acre}}}
	for name, c := range map[string]struct {
		told []Doubt
		want []Doubt
	}{
		"water": {waterDoubts(&Look{water: water}, nil), []Doubt{
			{DoubtWater, "3.0 acres dead flat in one place: water that the raster flattened, though it reads as perfect ground", 9},
			{DoubtWater, "3.5 acres level to millimeters in 2 places, below rougher ground: water, though it reads as perfect ground", 40},
		}},
		"water in hectares": {waterDoubts((&Look{water: water}).In(measure.Metric), nil), []Doubt{
			{DoubtWater, "1.21 hectares dead flat in one place: water that the raster flattened, though it reads as perfect ground", 9},
			{DoubtWater, "1.4 hectares level to millimeters in 2 places, below rougher ground: water, though it reads as perfect ground", 40},
		}},
		"plateaus": {plateauDoubts(&Look{grid: cells, plateaus: []plateau{{HeightM: 12.5, Cells: 250, StepM: 31.25, Void: true}, {Cells: 40, StepM: 0.5}}}, nil), []Doubt{
			{DoubtPlateau, "2.5 acres at exactly 12.5 m, with steps of 31.2 m around: an undeclared no-data value, or water under cliffs: no ground, though it reads as perfect ground", 250},
			{DoubtPlateau, "0.4 acres at exactly 0 m, with steps of 0.5 m around: the sea, or an undeclared no-data value", 40},
		}},
		"resampled": {resampledDoubts(&Look{grid: cells, resampled: true, coarser: resampling{CellM: [2]float64{10, 12}, Cells: 460, kind: DoubtFacets}}, nil), []Doubt{
			{DoubtFacets, "4.6 acres hold no detail finer than about 10 × 12 m (even facets): resampled from a coarser raster, so banks and ditches narrower than that are not in it", 460},
		}},
		"stairs": {stairDoubts(&Look{stepped: true, stairs: Stairs{0.5, "half a meter", 25}}, nil), []Doubt{
			{DoubtStairs, "heights come in steps of half a meter: on this grid a slope below 25% means nothing, and any slope can be off by as much", 0},
		}},
		"feet": {feetDoubts(&Look{assumedMetres: true, grid: slopingColumns(t, 12, 2, columns(75, 1.5, 25, 0.1))}, nil), []Doubt{
			{DoubtFeet, "half of the ground is steeper than 150% and 75% of it steeper than 100%: heights may be feet that were taken for meters (declare the unit); mountains can be that steep", 0},
		}},
		"a surface": {surfaceDoubts(&Look{rough: new(roughOnce), grid: spiked(t, 1, 500, 0.75)}, nil), []Doubt{
			{DoubtSurface, "5% of the cells jut out by 1.5 m or more: tree tops and roofs rather than bare ground, or boulders and cliffs", 520},
		}},
		"a surface, or feet": {surfaceDoubts(&Look{rough: new(roughOnce), grid: spiked(t, 1, 500, 0.75), assumedMetres: true}, nil), []Doubt{
			{DoubtSurface, "5% of the cells jut out by 1.5 m or more: tree tops and roofs rather than bare ground, or boulders and cliffs, or feet taken for meters", 520},
		}},
		"a seam": {seamDoubts(&Look{grid: rising(t, 256, level(100, map[int]float64{49: 0.3}), 0, 0, 1, 1)}, nil), []Doubt{
			{DoubtSeam, "a straight step of 0.3 m over 256 cells between rows 49 and 50: a seam between surveys, or a wall or bank along the grid", 256},
		}},
	} {
		assert.Equal(t, c.want, c.told, name)
	}
	g := stepped(t, 300, 200, 20, 0.5, 0, 200, nil)
	g.Col0, g.Row0 = 7, 5
	g.Frame = degrees(t, 0, 0, 400, 400)
	slanted := seamDoubts(&Look{grid: g}, nil)
	require.Len(t, slanted, 1) // from column 7 + 18.75 + 1 and row 5 + ½, to half as many columns as rows on
	assert.Equal(t, 200, slanted[0].Cells)
	assert.Regexp(t, `^a straight step of 0\.5 m over 200 cells at an angle to the grid, from 59\.94500, 12\.267[45]\d to 57\.95500, 13\.262[45]\d: a seam`, slanted[0].Words)
}

// A seam is named by its lines where the first source has both, else by the middle of it.
func TestHowASeamIsNamed(t *testing.T) {
	g := gridOf(t, 40, 30, 1, always(100))
	g.Frame, g.Col0, g.Row0 = degrees(t, -50, -50, 100, 100), -10, 20
	of := func(cols, rows int) *terrain.Elevation {
		return &terrain.Elevation{Sources: []terrain.Source{{Cols: cols, Rows: rows}, {Cols: 1, Rows: 1}}}
	}
	for _, c := range []struct {
		of   *terrain.Elevation
		at   seam
		want string
	}{
		{nil, seam{Along: "columns", At: 0}, "columns 0 and 1"},
		{nil, seam{Along: "columns", At: -1}, "two columns near 59.65000, 12.00000"},
		{&terrain.Elevation{}, seam{Along: "rows", At: 25}, "rows 25 and 26"},
		{of(9, 27), seam{Along: "rows", At: 25}, "rows 25 and 26"},
		{of(27, 26), seam{Along: "rows", At: 25}, "two rows near 59.74000, 12.10000"},
		{of(8, 9), seam{Along: "columns", At: 6}, "columns 6 and 7"},
		{of(7, 99), seam{Along: "columns", At: 6}, "two columns near 59.65000, 12.07000"},
	} {
		assert.Equal(t, c.want, (&Look{grid: g, of: c.of}).between(c.at), "%+v", c.at)
	}
}

// A seam is where sources meet on at least half of its cells; what no source has meets none.
func TestWhereSourcesMeetAlongASeam(t *testing.T) {
	g := gridOf(t, 40, 30, 1, always(100))
	g.Col0, g.Row0 = 100, 200
	for along, at := range map[string]int{"rows": 209, "columns": 119} {
		meets := func(n, cells int, there, beyond uint16) bool { // on the last n cells of the seam
			from := make([]uint16, len(g.Z))
			for i := range from {
				k, over := i%40, i/40 > at-200
				if from[i] = there; along == "columns" {
					k, over = i/40+10, i%40 > at-100
				}
				if over && k >= 40-n {
					from[i] = beyond
				}
			}
			return (&Look{grid: g, of: &terrain.Elevation{From: from}}).joins(seam{Along: along, At: at, Lines: 1, Cells: cells})
		}
		assert.True(t, meets(10, 20, 0, 1), along)
		assert.False(t, meets(10, 21, 0, 1), along)
		assert.False(t, meets(0, 20, 1, 0), along)
		assert.False(t, meets(20, 20, terrain.NoSource, 1), along)
		assert.False(t, meets(20, 20, 1, terrain.NoSource), along)
	}
	assert.False(t, (&Look{grid: g}).joins(seam{Along: "rows", At: 209}))
	assert.False(t, (&Look{grid: g, of: &terrain.Elevation{}}).joins(seam{Along: "rows", At: 209}))
}

// A detector that finds nothing is named by its place.
func TestADetectorWithoutFindIsNamed(t *testing.T) {
	l := must(NewLook(context.Background(), gridOf(t, 3, 3, 1, always(100))))
	other := Detector{Find: func(context.Context, *Look) ([]Doubt, error) { return nil, nil }}
	_, err := l.Doubts(context.Background(), false, other, Detector{}, other)
	assert.EqualError(t, err, "detector 9 of 10 finds nothing: its Find is nil")
}
