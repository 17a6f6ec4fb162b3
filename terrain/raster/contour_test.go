package raster

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/relief"
)

// stretches are the pieces of contours from side to side, by the square in which
// their middles lie.
type stretches map[[2]int][][2][2]float64

// apartTol is how far apart ends may lie, in cells: GDAL moves heights that equal
// a level by 1e-6 m.
const apartTol = 1e-5

func (s stretches) add(p, q [2]float64) {
	if math.Hypot(p[0]-q[0], p[1]-q[1]) > apartTol {
		at := [2]int{int((p[0]+q[0])/2 - 0.5), int((p[1]+q[1])/2 - 0.5)}
		s[at] = append(s[at], [2][2]float64{p, q})
	}
}

func (s stretches) has(at [2]int, want [2][2]float64) bool {
	near := func(p, q [2]float64) bool { return math.Hypot(p[0]-q[0], p[1]-q[1]) <= apartTol }
	for dx := -1; dx <= 1; dx++ {
		for dy := -1; dy <= 1; dy++ {
			for _, got := range s[[2]int{at[0] + dx, at[1] + dy}] {
				if near(got[0], want[0]) && near(got[1], want[1]) || near(got[0], want[1]) && near(got[1], want[0]) {
					return true
				}
			}
		}
	}
	return false
}

// gdalContours are the contours that gdal_contour draws, as stretches, those in
// its half cell of rim left out.
func gdalContours(t *testing.T, file string, gt [6]float64, cols, rows int, levels []float64) []stretches {
	t.Helper()
	if _, err := exec.LookPath("gdal_contour"); err != nil {
		t.Skip("gdal_contour is not installed (Debian: gdal-bin)")
	}
	out := filepath.Join(t.TempDir(), "contours.geojson")
	args := []string{"-q", "-a", "height", "-f", "GeoJSON"}
	for _, l := range levels {
		args = append(args, "-fl", fmt.Sprint(l))
	}
	said, err := exec.Command("gdal_contour", append(args, file, out)...).CombinedOutput()
	require.NoError(t, err, string(said))
	text, err := os.ReadFile(out)
	require.NoError(t, err)
	var drawn struct {
		Features []struct {
			Properties struct{ Height float64 }
			Geometry   struct{ Coordinates [][2]float64 }
		}
	}
	require.NoError(t, json.Unmarshal(text, &drawn))
	sets := make([]stretches, len(levels))
	for i := range sets {
		sets[i] = stretches{}
	}
	for _, f := range drawn.Features {
		level := -1
		for i, l := range levels {
			if l == f.Properties.Height {
				level = i
			}
		}
		require.GreaterOrEqual(t, level, 0)
		cell := func(p [2]float64) [2]float64 { return [2]float64{(p[0] - gt[0]) / gt[1], (p[1] - gt[3]) / gt[5]} }
		line := f.Geometry.Coordinates
		for i := 1; i < len(line); i++ {
			p, q := cell(line[i-1]), cell(line[i])
			x, y := (p[0]+q[0])/2, (p[1]+q[1])/2
			if x < 0.5 || y < 0.5 || x > float64(cols)-0.5 || y > float64(rows)-0.5 {
				continue
			}
			sets[level].add(p, q)
		}
	}
	return sets
}

// The contours of real ground are those of GDAL, stretch by stretch. GDAL cuts
// every saddle the same way; only there may the two differ. The heights are
// whole metres: at whole levels, flats and ties come in thousands.
func TestContoursAreGDALs(t *testing.T) {
	r, e := readWhole(t, jacksboro, Options{})
	g := e.Grid
	for _, levels := range [][]float64{{250.5, 300.5, 333.25, 400.5, 600.5, 900.5}, {250, 300, 400, 600, 900}} {
		theirs := gdalContours(t, jacksboro, r.grid, g.Cols, g.Rows, levels)
		ours := make([]stretches, len(levels))
		for i := range ours {
			ours[i] = stretches{}
		}
		lines, err := relief.Contours(g, levels)
		require.NoError(t, err)
		for _, c := range lines {
			for i := 1; i < len(c.Line); i++ {
				ours[c.Level].add(c.Line[i-1], c.Line[i])
			}
		}
		same, apart := 0, 0
		for i, level := range levels {
			for _, pair := range [][2]stretches{{ours[i], theirs[i]}, {theirs[i], ours[i]}} {
				for at, all := range pair[0] {
					for _, s := range all {
						if pair[1].has(at, s) {
							same++
							continue
						}
						apart++
						require.True(t, inSaddle(g, at, level), "%v at %v is of one and not the other", s, level)
					}
				}
			}
		}
		assert.Greater(t, same, 10_000)
		assert.Less(t, apart, same/20)
		t.Logf("%d stretches the same, %d apart, in saddles", same/2, apart)
	}
}

// inSaddle reports whether a square has opposite corners high and the others low.
func inSaddle(g *terrain.Grid, at [2]int, level float64) bool {
	c, r := at[0], at[1]
	nw, ne, sw, se := g.At(c, r) >= level, g.At(c+1, r) >= level, g.At(c, r+1) >= level, g.At(c+1, r+1) >= level
	return nw == se && ne == sw && nw != ne
}
