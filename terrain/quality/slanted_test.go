package quality

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
)

// A seam of 0.3 m at any angle to the grid was missed: only those along its lines were looked for.
func TestASlantedSeamIsFound(t *testing.T) {
	for _, deg := range []float64{10, 30, 45, 60, 80, 100, 135, 170} {
		for _, step := range []float64{0.3, -0.5} {
			nx, ny := math.Sincos(deg * math.Pi / 180)
			east := func(c, r int) bool { return nx*float64(c-200)+ny*float64(r-150) > 0.3 }
			g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + step*over(east(c, r)) })
			found := findSlanted(g, nil)
			require.Len(t, found, 1, "%g degrees, %g m", deg, step)
			assert.InDelta(t, math.Abs(step), found[0].stepM, 0.05)
			assert.Greater(t, found[0].cells, 150)
			for _, end := range [][2]float64{found[0].from, found[0].to} {
				assert.InDelta(t, 0, nx*(end[0]-200)+ny*(end[1]-150), 2, "%g degrees: its ends lie on it", deg)
			}
			assert.Contains(t, kinds(must(Doubts(g, true))), DoubtSeam)
		}
	}
}

func TestWhatIsNoSlantedSeam(t *testing.T) {
	for name, change := range map[string]func(c, r int) float64{
		"nothing":            func(c, r int) float64 { return 0 },
		"a wall":             func(c, r int) float64 { return 2 * over(c-r > 40 && c-r < 43) },
		"a bank of 4 cells":  func(c, r int) float64 { return min(max(float64(c-r)/4, 0), 1) },
		"a bend":             func(c, r int) float64 { return 0.5 * over(float64(c) > 100+float64(r*r)/400) },
		"a short step":       func(c, r int) float64 { return 0.5 * over(c > r+30 && r > 100 && r < 180) * over(c < 260) },
		"terraces":           func(c, r int) float64 { return 0.5 * float64((c+r)/40) },
		"along the grid":     func(c, r int) float64 { return 0.5 * over(c > 150) },
		"a step that varies": func(c, r int) float64 { return over(c > r) * (0.2 + 2*float64(r%60)/60) },
	} {
		g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + change(c, r) })
		assert.Empty(t, findSlanted(g, nil), name)
	}
	assert.Empty(t, findSlanted(steep(t, 400, 400, 1, 1), nil), "steep")
	whole := gridOf(t, 400, 300, 1, func(c, r int) float64 { return math.Floor(300 + 0.02*float64(c) + 0.01*float64(r)) })
	for _, k := range kinds(must(Doubts(whole, true))) {
		assert.NotEqual(t, DoubtSeam, k, "heights in whole meters step along straight lines")
	}
}

// Where two rasters meet at an angle the step is told of as theirs.
func TestASlantedSeamBetweenSourcesIsNotToldTwice(t *testing.T) {
	g := gentle(t, 400, 300, 1, func(h float64, c, r int) float64 { return h + 0.5*over(c > r+30) })
	e := &terrain.Elevation{Grid: g, Sources: []terrain.Source{{Cols: 400, Rows: 300}, {Cols: 400, Rows: 300}}, From: make([]uint16, len(g.Z))}
	require.Len(t, seamWords(t, g, e), 1)
	assert.Regexp(t, `^a straight step of 0\.5 m over \d+ cells at an angle to the grid, from -?[0-9.]+, -?[0-9.]+ to `, seamWords(t, g, e)[0])
	for i := range e.From {
		e.From[i] = uint16(over(i%g.Stride > i/g.Stride+30))
	}
	assert.Empty(t, seamWords(t, g, e))
}
