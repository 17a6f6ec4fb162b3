package trafficability

import (
	"bytes"
	"cmp"
	"encoding/binary"
	"image"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/image/tiff"
	"gonum.org/v1/gonum/graph/topo"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// inner leaves the outermost cells out of the ground to be driven on: slope there hangs
// on fewer cells.
func (g *Ground) inner() *Ground {
	g.Drive = make([]bool, len(g.Lots))
	for i := range g.Drive {
		c, r := i%g.Grid.Cols, i/g.Grid.Cols
		g.Drive[i] = c > 0 && r > 0 && c < g.Grid.Cols-1 && r < g.Grid.Rows-1
	}
	return g
}

// jacksboro is a part of the real ground in testdata: see its SOURCES.md. Its cells
// measure some 75 by 93 m.
func jacksboro(t *testing.T, col0, row0, cols, rows int) *Ground {
	t.Helper()
	file, err := os.ReadFile("../../testdata/jacksboro_dem.tif")
	require.NoError(t, err)
	// The decoder knows no signed numbers. None of the heights is below 0: the tag that
	// says so (SampleFormat, 339) may as well say unsigned.
	tag := binary.LittleEndian.AppendUint32(binary.LittleEndian.AppendUint16(binary.LittleEndian.AppendUint16(nil, 339), 3), 1)
	at := bytes.Index(file, tag)
	require.Positive(t, at)
	require.EqualValues(t, 2, file[at+len(tag)])
	file[at+len(tag)] = 1
	picture, err := tiff.Decode(bytes.NewReader(file))
	require.NoError(t, err)
	heights := picture.(*image.Gray16)
	const cell, west, north = 1.0 / 1200, -84.41375, 36.44625
	frame, err := terrain.NewFrame(32, 0, 0, 403, 344, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{west + c[0]*cell, north - c[1]*cell}
		}
		return out, nil
	})
	require.NoError(t, err)
	z := make([]float32, cols*rows)
	for i := range z {
		z[i] = float32(heights.Gray16At(col0+i%cols, row0+i/cols).Y)
	}
	return on(&terrain.Grid{Z: z, Cols: cols, Rows: rows, Stride: cols, Col0: col0, Row0: row0, Frame: frame})
}

// The ground that a machine gets to is never more than gonum finds with true headings
// and lengths, and is that which it finds with the program's rounding of them.
func TestAccessAgainstShortestPaths(t *testing.T) {
	wide := loader
	wide.RunM, wide.CrestM = 12, noCrest
	narrow := zoning.Machine{Key: "b", LimitPct: 45, CrossPct: 12, RunM: 6, CrestM: noCrest}
	straight := zoning.Machine{Key: "c", LimitPct: 35, WidthM: 3, FootprintM: 3, CrestM: noCrest}
	far := zoning.Machine{Key: "d", LimitPct: 40, CrossPct: 15, RunM: 700, CrestM: noCrest}
	farWide := zoning.Machine{Key: "e", LimitPct: 40, CrossPct: 15, RunM: 500, WidthM: 40, FootprintM: 90, CrestM: noCrest}
	for name, c := range map[string]struct {
		g *Ground
		m []zoning.Machine
	}{
		"hills":        {made(t, 60, 50, 1, 1, hills(1, 50, 3)), []zoning.Machine{wide, narrow, straight}},
		"oblong cells": {made(t, 60, 50, 1.3, 0.8, hills(2, 50, 3)), []zoning.Machine{wide, narrow, straight}},
		"skewed":       {skewed(t, 60, 50, [2]float64{0.9, 0.3}, [2]float64{0.4, -1}, hills(3, 50, 2.3)), []zoning.Machine{wide, narrow, straight}},
		"Jacksboro":    {jacksboro(t, 150, 120, 60, 60), []zoning.Machine{far, farWide}},
	} {
		g := c.g.inner()
		rnd := rand.New(rand.NewPCG(4, 4))
		g.Staging = [][]int{{}}
		for range 12 {
			g.Staging[0] = append(g.Staging[0], rnd.IntN(len(g.Lots)))
		}
		for _, m := range c.m {
			w := find(g, m)
			require.Empty(t, g.Edges, "%s: another rule", name)
			got := w.Stands[0]
			most, same := newReference(g, m, false).stands(), newReference(g, m, true).stands()
			require.Greater(t, count(got), len(got)/50, "%s, %s", name, m.Key)
			assert.Zero(t, strays(got, most), "%s, %s: ground that no path leads to, of %d and %d", name, m.Key, count(got), count(most))
			if name != "skewed" { // where keeping from things errs on the safe side
				assert.True(t, slices.Equal(same, got), "%s, %s: %d and %d", name, m.Key, count(same), count(got))
			}
		}
	}
}

// Ground that lies in one piece is one pocket: gonum's connected components.
func TestPocketsAgainstConnectedComponents(t *testing.T) {
	g := made(t, 80, 70, 1, 1, hills(5, 40, 2.5)).inner()
	m := zoning.Machine{Key: "a", LimitPct: 20, CrestM: noCrest}
	fits := make([]bool, len(g.Lots))
	for i := range fits {
		fits[i] = g.Drive[i] && math.Sqrt(float64(g.Field.Squared[i])) < 0.20-zoning.TieRise
	}
	var want []float64
	for _, piece := range topo.TarjanSCC(newReference(g, m, false).arcs(fits)) {
		if acres := float64(len(piece)) / terrain.SquareMetresPerAcre; acres >= leastPocketAcres {
			want = append(want, acres)
		}
	}
	slices.SortFunc(want, func(a, b float64) int { return cmp.Compare(b, a) })
	require.Greater(t, len(want), 2)
	pockets := find(g, m).Pockets[0]
	require.Len(t, pockets, len(want))
	for i, p := range pockets {
		assert.InDelta(t, want[i], p.Acres, 1e-9, "the largest first")
	}
}

// The cells of each pocket have a number of their own, in the longest runs that they make up,
// where the machine may head every way and where it may not.
func TestPiecesAreTheCellsOfPockets(t *testing.T) {
	g := made(t, 90, 70, 1, 1, hills(5, 40, 2.5)).inner()
	w := find(g, zoning.Machine{Key: "b", LimitPct: 20, CrossPct: 12, CrestM: noCrest})
	perCell := 1 / terrain.SquareMetresPerAcre
	acres := map[uint16]float64{}
	longest := 0
	for n, r := range w.Pieces[0] {
		assert.Equal(t, r.From/90, (r.To-1)/90, "in a row")
		if n > 0 {
			before := w.Pieces[0][n-1]
			assert.True(t, before.To < r.From || before.To == r.From && (before.Piece != r.Piece || r.From%90 == 0), "%v, %v", before, r)
		}
		acres[r.Piece] += float64(r.To-r.From) * perCell
		longest = max(longest, int(r.To-r.From))
	}
	assert.Greater(t, longest, 20)
	require.Greater(t, len(w.Pockets[0]), 2)
	require.Len(t, acres, len(w.Pockets[0]))
	var got []float64
	for _, a := range acres {
		got = append(got, a)
	}
	slices.Sort(got)
	slices.Reverse(got)
	for i, p := range w.Pockets[0] {
		assert.InDelta(t, p.Acres, got[i], 1e-9)
		assert.NotZero(t, w.Pieces[0].At(p.Cell))
	}
}
