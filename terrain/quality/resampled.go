package quality

import (
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/beside"
)

// resampling says from how much coarser a raster a grid was resampled.
type resampling struct {
	CellM [2]float64 // its cells along rows and down columns, in metres
	Cells int        // cells of the grid found so
	kind  string     // of doubt, by what gives it away

	tiles []terrain.Window // of the grid's cells, where it was found; nil is the whole grid
}

// betrays says, by kind of doubt, what gives a resampled grid away.
var betrays = map[string]string{
	DoubtBlocks: "blocks of equal heights",
	DoubtFacets: "even facets",
	DoubtSmooth: "no bends finer than that; a rough estimate",
}

const (
	// Grids are judged by tiles, so that fills of a part are found, and each
	// tile by bands, so that rows a little askew do not blur the pattern.
	coarserTile, coarserBand = 256, 64

	// A tile shows a pattern of at least so many periods, of so many cells;
	// bilinear facets of two cells cannot be told. Gaps may be this much longer
	// than usual. Chosen on the made data of the test.
	leastPeriods = 5
	leastFacet   = 2.6
	leastBlock   = 1.9
	longestGap   = 1.6
	quietOfMean  = 0.1  // a column is quiet below this part of the mean
	quietBlocks  = 1e-9 // blocks are exactly even

	// Smoothness: by how much the mean square bend grows as its span doubles. On
	// a surface smooth at that span it is 16; on lidar ground 3 to 11 from one
	// cell to two and 3 to 8 from two to four were measured.
	smooth1, smooth2 = 13, 9
	smoothEnd        = 8
	smoothSampleRows = 64
)

// findCoarser looks whether a grid was resampled from a raster at least some
// three times as coarse, whose missing detail no finer cell brings back.
//
// Nearest-neighbour sampling leaves blocks of equal cells: steps between
// neighbours are exactly nil but at every k-th column and row. Bilinear sampling
// leaves facets: the second difference along a row is nil but at every k-th
// column. Both are looked for in tiles of 256 cells, along both axes; the tile's
// profile over 64 lines must be quiet between evenly spaced peaks, at least five
// of them. Cubic, spline and Lanczos sampling leave a smooth surface: the mean square of
// second differences grows 13 times and more from a span of one cell to two and
// 9 times from two to four, judged over the whole grid; k is then the span at
// which growth falls below 8: a half to three times the true cell on what was
// tried, less for factors above 30.
//
// Not caught: factors of two (bilinear), below some six (cubic), five (Lanczos) or, on steep
// even ground, ten, where its kernel ripples; factors above 50, averaging, a source turned by more than some 2deg against this grid
// (bilinear, nearest), noise or rounding added since. Ground that is smooth by
// nature, such as dunes or graded fields at 1 m, can pass for cubic.
func findCoarser(g *terrain.Grid, watch *beside.Watch) (resampling, bool) {
	if c, ok := findBlocks(g, watch); ok {
		return c, true
	}
	if c, ok := byTiles(watch, g, DoubtFacets, 2, quietOfMean, leastFacet); ok {
		return c, true
	}
	return bySmoothness(g)
}

// resampledDoubts tells of detail that the raster cannot hold.
func resampledDoubts(l *Look, _ *beside.Watch) []Doubt {
	c := l.coarser
	if !l.resampled {
		return nil
	}
	return []Doubt{doubt(c.kind, c.Cells, "%s hold no detail finer than about %.2g × %.2g m (%s): resampled from a coarser raster, so banks and ditches narrower than that are not in it", l.units.AreaText(l.grid.Acres(c.Cells), 1), c.CellM[0], c.CellM[1], betrays[c.kind])}
}

func findBlocks(g *terrain.Grid, watch *beside.Watch) (resampling, bool) {
	return byTiles(watch, g, DoubtBlocks, 1, quietBlocks, leastBlock)
}

// byTiles looks for a pattern of differences of the given order, 1 or 2.
func byTiles(watch *beside.Watch, g *terrain.Grid, kind string, order int, quiet, least float64) (resampling, bool) {
	c := resampling{kind: kind}
	var across, down []float64
	for r := 0; r < g.Rows; r += coarserTile {
		r1 := min(r+coarserTile, g.Rows)
		for col := 0; col < g.Cols; col += coarserTile {
			c1 := min(col+coarserTile, g.Cols)
			watch.Did((r1 - r) * (c1 - col))
			kc, ok := period(g, col, r, c1, r1, order, false, quiet, least)
			if !ok {
				continue
			}
			kr, ok := period(g, col, r, c1, r1, order, true, quiet, least)
			if !ok {
				continue
			}
			across, down = append(across, kc), append(down, kr)
			c.Cells += (c1 - col) * (r1 - r)
			c.tiles = append(c.tiles, terrain.Window{Col0: col, Row0: r, Col1: c1, Row1: r1})
		}
	}
	if len(across) == 0 {
		return c, false
	}
	w, h := g.MiddleCellM()
	c.CellM = [2]float64{Median(across) * w, Median(down) * h}
	return c, true
}

// period is the spacing of peaks in a tile along its rows, or down its columns;
// three of the tile's four bands must show one, or all of fewer.
func period(g *terrain.Grid, c0, r0, c1, r1, order int, down bool, quiet, least float64) (float64, bool) {
	first, end := r0, r1
	if down {
		first, end = c0, c1
	}
	mayLack := (end - first + coarserBand - 1) / coarserBand / 4 // bands that may show none
	var found []float64
	profile := make([]float64, coarserTile)
	for at := first; at < end; at += coarserBand {
		var of []float64
		if next := min(at+coarserBand, end); down {
			of = downProfile(g, at, r0, next, r1, order, profile)
		} else {
			of = alongProfile(g, c0, at, c1, next, order, profile)
		}
		if k, ok := spacing(of, quiet, least); ok {
			found = append(found, k)
		} else if mayLack--; mayLack < 0 {
			return 0, false // most tiles, at half of the work or less
		}
	}
	return Median(found), true
}

// alongProfile sums absolute differences along rows, column by column. Voids are
// passed over.
func alongProfile(g *terrain.Grid, c0, r0, c1, r1, order int, profile []float64) []float64 {
	n := max(c1-c0-order, 0)
	profile = profile[:n]
	clear(profile)
	for r := r0; r < r1; r++ {
		line := g.Line(r)[c0:c1]
		if order == 2 {
			addBends(profile, line)
		} else {
			addSteps(profile, line)
		}
	}
	return profile
}

// addSteps adds the differences of the first order along a row.
func addSteps(profile []float64, line []float32) {
	last := line[0]
	for i, z := range line[1:][:len(profile)] {
		if d := z - last; d == d {
			profile[i] += math.Abs(float64(d))
		}
		last = z
	}
}

// addBends adds those of the second.
func addBends(profile []float64, line []float32) {
	if len(profile) == 0 {
		return
	}
	last, step := line[1], line[1]-line[0]
	for i, z := range line[2:][:len(profile)] {
		next := z - last
		if d := next - step; d == d {
			profile[i] += math.Abs(float64(d))
		}
		last, step = z, next
	}
}

// downProfile sums absolute differences down columns, row by row.
func downProfile(g *terrain.Grid, c0, r0, c1, r1, order int, profile []float64) []float64 {
	profile = profile[:max(r1-r0-order, 0)]
	for i := range profile {
		a, b := g.Line(r0 + i)[c0:c1], g.Line(r0 + i + 1)[c0:c1]
		e := b
		if order == 2 {
			e = g.Line(r0 + i + 2)[c0:c1]
		}
		sum := 0.0
		for c := range a {
			d := b[c] - a[c]
			if order == 2 {
				d = e[c] - b[c] - d
			}
			if d == d {
				sum += math.Abs(float64(d))
			}
		}
		profile[i] = sum
	}
	return profile
}

// spacing returns the mean distance between peaks of a profile that is quiet in
// between.
func spacing(profile []float64, quiet, least float64) (float64, bool) {
	mean := 0.0
	for _, v := range profile {
		mean += v
	}
	mean /= float64(max(len(profile), 1))
	var middles []float64
	calm := 0
	for i := 0; i < len(profile); {
		if profile[i] <= quiet*mean {
			calm++
			i++
			continue
		}
		from := i
		for i < len(profile) && profile[i] > quiet*mean {
			i++
		}
		middles = append(middles, float64(from+i)/2) // and half a cell, which all have alike
	}
	if len(middles) <= leastPeriods {
		return 0, false
	}
	var gaps []float64
	for i := 1; i < len(middles); i++ {
		gaps = append(gaps, middles[i]-middles[i-1])
	}
	k := (middles[len(middles)-1] - middles[0]) / float64(len(gaps))
	slices.Sort(gaps)
	even := gaps[len(gaps)-1] <= longestGap*k && gaps[0] >= k/longestGap
	return k, even && k >= least && float64(calm) >= 0.3*float64(len(profile))
}

// bySmoothness judges growth of the bend with its span.
func bySmoothness(g *terrain.Grid) (resampling, bool) {
	k := math.Inf(1)
	for _, down := range []bool{false, true} {
		if first := bends(g, down, 2); len(first) < 2 || !(first[1] >= smooth1*first[0]) {
			return resampling{}, false // most ground, at two fifths of the work
		}
		spans := bends(g, down, longestBend)
		if len(spans) < 3 || !(spans[2] >= smooth2*spans[1]) || !(spans[0] > 0) {
			return resampling{}, false
		}
		span := 2.0
		for i := 2; i < len(spans) && spans[i] >= smoothEnd*spans[i-1]; i++ {
			span *= 2
		}
		k = math.Min(k, span)
	}
	w, h := g.MiddleCellM()
	return resampling{CellM: [2]float64{k * w, k * h}, Cells: g.Rows*g.Cols - g.Voids(), kind: DoubtSmooth}, true
}

// longestBend is how many spans are looked at at most.
const longestBend = 5

// bends is the mean square second difference at n spans of 1, 2, 4, 8 and 16
// cells, as far as the grid is at least eight times as long; NaN where there is
// no height.
func bends(g *terrain.Grid, down bool, n int) []float64 {
	long, lines := g.Cols, g.Rows
	if down {
		long, lines = g.Rows, g.Cols
	}
	every := max(1, lines/smoothSampleRows)
	var means []float64
	line := make([]float32, long)
	sums, counts := make([]float64, n), make([]int, n)
	for i := every / 2; i < lines; i += every {
		if down {
			for r := range line {
				line[r] = g.Z[r*g.Stride+i]
			}
		} else {
			copy(line, g.Line(i))
		}
		for s := range sums {
			span, sum, known := 1<<s, sums[s], counts[s]
			if long <= 2*span {
				break
			}
			last := line[2*span:]
			first, mid := line[:len(last)], line[span:][:len(last)]
			for c, z := range last {
				d := float64(first[c]) - 2*float64(mid[c]) + float64(z)
				if d == d {
					sum += d * d
					known++
				}
			}
			sums[s], counts[s] = sum, known
		}
	}
	for s := range sums {
		if long < 8<<s {
			break
		}
		means = append(means, sums[s]/float64(counts[s]))
	}
	return means
}
