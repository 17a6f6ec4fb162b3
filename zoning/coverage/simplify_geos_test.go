//go:build cgo

package coverage

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// checkPartition asserts by GEOS that the bands of a simplified coverage are
// valid, do not overlap, and together are what they were before: no gap.
// It asserts too that no machine has ground of a cell that it may not work.
func checkPartition(t *testing.T, cells *Window, cov, s *Coverage, fleet int) {
	t.Helper()
	band := func(m Mask) int { return m.Class(fleet) }
	outline := cov.Outline()
	origin := outline[0][0][0]
	classes := s.Polygons(fleet+5, band)
	checkAgainstGEOS(t, classes, outline, cov.unit, 1e-9)
	for b, ground := range classes[:fleet] {
		if len(ground) == 0 {
			continue
		}
		zone := geos(t, ground, cov.unit, origin)
		units := perimeterM(ground) / 111319 * cov.unit
		for _, rows := range []int{0, 1} {
			closed := closedTo(t, cells, b, rows, cov.unit, origin)
			both, err := zone.Intersection(closed)
			require.NoError(t, err)
			// A line whose ends are rounded strays into a cell by a part of a unit.
			require.LessOrEqual(t, both.Area(), 0.3*units, "machine %d has ground that it may not work", b)
			both.Close()
			closed.Close()
		}
		zone.Close()
	}
}

// closedTo is the ground of the window's cells that a machine may not work, in
// every other row: cells that share a side are no valid MultiPolygon.
func closedTo(t *testing.T, cells *Window, machine, row int, unit float64, origin orb.Point) *godal.Geometry {
	var closed orb.MultiPolygon
	for ; row < cells.Rows; row += 2 {
		for c := 0; c < cells.Cols; c++ {
			from := c
			for ; c < cells.Cols; c++ {
				if m := cells.Masks[row*cells.Cols+c]; m&(Unknown|NoGo) == 0 && m&(1<<machine) != 0 {
					break
				}
			}
			if c > from {
				var north, ring [][2]float64
				for k := from; k <= c; k++ {
					x, y := float64(cells.Col0+k), float64(cells.Row0+row)
					north, ring = append(north, [2]float64{x, y}), append(ring, [2]float64{x, y + 1})
				}
				slices.Reverse(north)
				closed = append(closed, toGround(cells.Frame, unit, append(ring, north...)))
			}
		}
	}
	if len(closed) == 0 {
		g, err := godal.NewGeometryFromWKT("MULTIPOLYGON EMPTY", nil)
		require.NoError(t, err)
		return g
	}
	g := geos(t, closed, unit, origin)
	require.True(t, g.Valid())
	return g
}

func TestSimplifyBlotchesAgainstGEOS(t *testing.T) {
	rng := rand.New(rand.NewPCG(25, 26))
	for i := range 60 {
		cells, cov := blotched(t, rng, 3)
		toleranceM := []float64{0.8, 2, 5, 80}[i%4]
		checkPartition(t, cells, cov, cov.Simplify(cells, 3, toleranceM), 3)
	}
}

// Single cells of any mask, the lot's line among them: nothing but junctions.
func TestSimplifyNoiseAgainstGEOS(t *testing.T) {
	rng := rand.New(rand.NewPCG(27, 28))
	for i := range 200 {
		cells, p := randomCase(t, rng, 1e9)
		for k := range cells.Masks {
			if cells.Masks[k] == 2 && rng.IntN(2) == 0 {
				cells.Masks[k] = 0b111
			}
		}
		cov, err := Cut(cells, p)
		require.NoError(t, err, "round %d", i)
		toleranceM := []float64{0.8, 2, 80}[i%3]
		s := cov.Simplify(cells, 3, toleranceM)
		checkSimplified(t, cells, cov, s, 3, toleranceM)
		checkPartition(t, cells, cov, s, 3)
	}
}

// jacksboro is the terrain of testdata: cells of 75 by 92 m, in degrees.
func jacksboro(t *testing.T) *terrain.Grid {
	t.Helper()
	require.NoError(t, godal.RegisterRaster(godal.GTiff))
	ds, err := godal.Open("../../testdata/jacksboro_dem.tif")
	require.NoError(t, err)
	defer ds.Close()
	st := ds.Structure()
	at, err := ds.GeoTransform()
	require.NoError(t, err)
	z := make([]float32, st.SizeX*st.SizeY)
	require.NoError(t, ds.Bands()[0].Read(0, 0, z, st.SizeX, st.SizeY))
	f, err := terrain.NewFrame(16, 0, 0, st.SizeX, st.SizeY, func(cells [][2]float64) ([][2]float64, error) {
		out := make([][2]float64, len(cells))
		for i, c := range cells {
			out[i] = [2]float64{at[0] + c[0]*at[1], at[3] + c[1]*at[5]}
		}
		return out, nil
	})
	require.NoError(t, err)
	return &terrain.Grid{Z: z, Cols: st.SizeX, Rows: st.SizeY, Stride: st.SizeX, Frame: f}
}

// Real ground, labelled by how steep it is. The second class is kept off a part of it by
// something other than slope.
func TestSimplifyTerrainAgainstGEOS(t *testing.T) {
	g := jacksboro(t)
	cells := &Window{Masks: make([]Mask, g.Cols*g.Rows), Cols: g.Cols, Rows: g.Rows, Frame: g.Frame}
	for i, s := range must(slope.Of(g)).Squared {
		for k, limit := range []float64{0.0998, 0.1998, 0.3998} {
			if s < float32(limit*limit) {
				cells.Masks[i] |= 1 << k
			}
		}
	}
	wave := waves(rand.New(rand.NewPCG(29, 30)))
	for i := range cells.Masks {
		if wave(float64(i%g.Cols), float64(i/g.Cols)) > 0.5 {
			cells.Masks[i] &^= 0b010
		}
	}
	cov := cutLot(t, cells, [][2]float64{{40.3, 30.2}, {51.1, 90.9}, {110.2, 98.4}, {121.7, 61.5}, {90.8, 22.2}})
	count := func(c *Coverage) (edges int) {
		for _, a := range c.Arcs {
			edges += len(a.Vertices) - 1
		}
		return edges
	}
	old := cov.joined(func(m Mask) int { return m.Class(3) })
	got := []string{fmt.Sprint(count(old))}
	for _, toleranceM := range []float64{30, 60, 100, 300} {
		s := cov.Simplify(cells, 3, toleranceM)
		checkSimplified(t, cells, cov, s, 3, toleranceM)
		checkPartition(t, cells, cov, s, 3)
		got = append(got, fmt.Sprint(count(s)))
	}
	assert.Equal(t, []string{"2372", "2294", "1961", "1744", "1671"}, got, "edges of all lines: as cut, and by tolerance")
}

// FuzzSimplify simplifies any masks by any tolerance, cut by any ring.
func FuzzSimplify(f *testing.F) {
	f.Add([]byte{3, 9, 0x33, 0x37, 0x73, 0x22, 0x26, 0x62, 0x11, 0x15, 0x51, 0x70, 0x07, 0xf0, 0x0e, 0x33, 0x22, 0x11, 1, 1, 90, 1, 90, 90, 1, 90})
	f.Add([]byte{7, 200, 0x73, 0x37, 0x73, 0x37, 0x73, 0x37, 0x73, 0x37, 0x23, 0x32, 0x23, 0x32, 0x23, 0x32, 0x23, 0x32, 40, 8, 88, 44, 44, 88, 8, 40})
	f.Add([]byte{0, 1, 0x77, 0x77, 0x77, 0x72, 0x72, 0x77, 0x07, 0x77, 0x77, 0x72, 0x73, 0x77, 0x77, 0x77, 0x7e, 0xf7, 0, 0, 95, 95, 95, 0, 0, 95})
	f.Fuzz(func(t *testing.T, data []byte) {
		const side, head = 6, 20
		if len(data) < head+6 || len(data) > head+40 {
			return
		}
		frame := tilted(t, -105, 40, testCell, float64(data[0]))
		cells := &Window{Masks: make([]Mask, side*side), Cols: side, Rows: side, Frame: frame}
		for i := range cells.Masks {
			switch m := data[2+i/2] >> (4 * (i % 2)) & 15; m {
			case 14:
				cells.Masks[i] = Unknown
			case 15:
				cells.Masks[i] = NoGo
			default:
				cells.Masks[i] = Mask(m & 7)
			}
		}
		var ring [][2]float64
		for i := head; i+1 < len(data); i += 2 {
			// Eighths of a cell, and now and then a unit beside them.
			at := func(b byte) float64 { return float64(b>>1)/16 - 1 + float64(b&1)*1e-4 }
			ring = append(ring, [2]float64{at(data[i]), at(data[i+1])})
		}
		p := orb.MultiPolygon{toGround(frame, 1e9, ring)}
		cov, err := Cut(cells, p)
		if err != nil {
			requireTangled(t, err, p)
			return
		}
		s := cov.Simplify(cells, 3, float64(data[1])/16)
		var sum float64
		for b, mp := range s.Polygons(8, func(m Mask) int { return m.Class(3) }) {
			if len(mp) > 0 {
				g := geos(t, mp, 1e9, p[0][0][0])
				require.True(t, g.Valid(), "band %d", b)
				g.Close()
				sum += AreaM2(mp)
			}
		}
		require.InDelta(t, cov.M2(), sum, 1e-7+1e-9*sum)
		if outline := geos(t, cov.Outline(), 1e9, p[0][0][0]); outline.Valid() {
			checkPartition(t, cells, cov, s, 3)
			outline.Close()
		}
	})
}
