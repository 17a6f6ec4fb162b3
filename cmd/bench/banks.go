package main

import (
	"context"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"slices"
	"time"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
	"github.com/acreband/acreband/terrain/raster"
	"github.com/acreband/acreband/zoning"
)

// bankCase is a bank through hummocky ground, and how it is measured and gridded.
type bankCase struct {
	heightFt, faceM float64 // 0 ft is no bank
	cellM, perM2    float64
	gridding        gridding
	seed            uint64
}

// bankSideM is the side of the ground: 22 acres.
const bankSideM = 300

// hummockM is the relief of its longest waves: over 5 × 5 cells of 2 m a quadratic surface leaves
// 3 cm, as on the roughest bare earth that was looked at.
const hummockM = 1.5

// offBankM is how far a place lies from the middle of a bank that winds along a side.
func offBankM(x, y, sideM float64) float64 {
	return (y - sideM/2 - 15*math.Sin(x/40)) * math.Cos(math.Atan(15.0/40*math.Cos(x/40)))
}

// belowBank is how far a bank has fallen at a place, from 0 to 1.
func belowBank(x, y, sideM, faceM float64) float64 {
	return max(0, min(1, 0.5+offBankM(x, y, sideM)/max(faceM, 1e-9)))
}

func (c bankCase) ground() (*terrain.Grid, error) {
	base := hummocks(c.seed, hummockM)
	p := lidar(c.seed, bankSideM, c.perM2, 0.03, func(x, y float64) float64 {
		return base(x, y) - c.heightFt*zoning.MetresPerFoot*belowBank(x, y, bankSideM, c.faceM)
	})
	return p.grid(bankSideM, c.cellM, c.gridding)
}

// bankFound is what was found of a bank.
type bankFound struct {
	share       float64    // of its length
	heightFt    [3]float64 // 5%, median and 95% along it
	within      float64    // share of those whose range holds the true height
	falseAnAcre float64    // lines elsewhere
}

func (c bankCase) find() (bankFound, error) {
	g, err := c.ground()
	if err != nil {
		return bankFound{}, err
	}
	return findBank(g, c.heightFt, c.faceM)
}

// findBank finds what is found of a bank of a height and face on the middle square of a grid.
// Banks that are hidden count as found.
func findBank(g *terrain.Grid, heightFt, faceM float64) (out bankFound, err error) {
	banks, err := bank.Find(context.Background(), g, bank.Options{})
	if err != nil {
		return out, err
	}
	w, h := g.MiddleCellM()
	cellM := math.Sqrt(w * h)
	widthM, tallM := w*float64(g.Cols), h*float64(g.Rows)
	var heights []float64
	there, within, astray := map[int]bool{}, 0, map[int]bool{}
	for _, b := range banks {
		x, y := (float64(b.Cell%g.Cols)+0.5)*w, (float64(b.Cell/g.Cols)+0.5)*h
		switch off := math.Abs(offBankM(x, y, tallM)); {
		case heightFt > 0 && b.Kind == bank.Step && off <= faceM/2+1.5*cellM:
			there[int(x/w)] = true
			heights = append(heights, b.HeightM/zoning.MetresPerFoot)
			if h := heightFt * zoning.MetresPerFoot; b.LowM <= h && h <= b.HighM {
				within++
			}
		case heightFt == 0 || off > 4*max(cellM, 2):
			astray[b.Line] = true
		}
	}
	const margin = 12 // m at the sides, where no whole disc lies on the ground
	n, found := 0, 0
	for x := margin; x < int(widthM)-margin; x++ {
		col := int((float64(x) + 0.5) / w)
		if n++; there[col] || there[col-1] || there[col+1] {
			found++
		}
	}
	out.share = float64(found) / float64(max(n, 1))
	out.within = float64(within) / float64(max(len(heights), 1))
	out.falseAnAcre = float64(len(astray)) / (widthM * tallM / terrain.SquareMetresPerAcre)
	slices.Sort(heights)
	for i, q := range []float64{0.05, 0.5, 0.95} {
		if len(heights) > 0 {
			out.heightFt[i] = heights[int(q*float64(len(heights)-1)+0.5)]
		}
	}
	return out, nil
}

// banksTable prints what is found of banks put into points from lidar on hummocky ground, and
// where there is none; then of sharp ones put into rasters, with what is found there without.
func banksTable(out io.Writer, rasters []string) error {
	fmt.Fprintln(out, "Banks: share of their length found, height in feet (5%, median, 95%), how often its range holds the true one")
	for _, perM2 := range []float64{1, 2, 8} {
		for _, cellM := range []float64{1, 2, 3, 5} {
			for _, gr := range griddings {
				for _, faceM := range []float64{0, 1, 2} {
					c := bankCase{0, faceM, cellM, perM2, gr, 1}
					fmt.Fprintf(out, "%g points/m², %g m, %-4s, face %g m", perM2, cellM, gr.name, faceM)
					for _, c.heightFt = range []float64{0, 2, 3, 6} {
						f, err := c.find()
						if err != nil {
							return err
						}
						tellBank(out, c.heightFt, f)
					}
					fmt.Fprintln(out)
				}
			}
		}
	}
	for _, path := range rasters {
		if err := rasterBanks(out, path); err != nil {
			return err
		}
	}
	return nil
}

func tellBank(out io.Writer, heightFt float64, f bankFound) {
	if heightFt == 0 {
		fmt.Fprintf(out, "  none: %.2f lines/acre", f.falseAnAcre)
		return
	}
	fmt.Fprintf(out, " | %g ft: %3.0f%% %.1f %.1f %.1f in %.0f%%", heightFt, 100*f.share, f.heightFt[0], f.heightFt[1], f.heightFt[2], 100*f.within)
}

// rasterBanks puts banks into a raster, each smeared over a cell, and times the look beside a pass
// of slope at machine scale.
func rasterBanks(out io.Writer, path string) error {
	r, err := raster.Open(context.Background(), path, raster.Options{})
	if err != nil {
		return err
	}
	defer r.Close()
	cols, rows := r.Source.Cols, r.Source.Rows
	g, err := r.Overview(context.Background(), terrain.Window{Col1: cols, Row1: rows}, cols, rows)
	if err != nil {
		return err
	}
	w, h := g.MiddleCellM()
	fmt.Fprintf(out, "%s, %.3g m", filepath.Base(path), w)
	for _, ft := range []float64{0, 2, 3, 6} {
		banked := *g
		banked.Z = slices.Clone(g.Z)
		for i := range banked.Z {
			x, y := (float64(i%g.Stride)+0.5)*w, (float64(i/g.Stride)+0.5)*h
			banked.Z[i] -= float32(ft * zoning.MetresPerFoot * belowBank(x, y, h*float64(g.Rows), w))
		}
		f, err := findBank(&banked, ft, w)
		if err != nil {
			return err
		}
		tellBank(out, ft, f)
	}
	look, plane := time.Duration(math.MaxInt64), time.Duration(math.MaxInt64)
	field := slope.NewField(g)
	field.AddRelief()
	field.AddAspect()
	footprint, ok := slope.FootprintOf(zoning.DefaultFootprintM, [2]float64{min(w, 1), min(h, 1)})
	for range 7 { // the best of them, one core each: what else runs only adds
		look = min(look, timed(func() { _, err = bank.Find(context.Background(), g, bank.Options{}) }))
		if ok && err == nil {
			plane = min(plane, timed(func() { err = slope.Planes(g, footprint, bank.LeastM, 0, g.Rows, field) }))
		}
		if err != nil {
			return err
		}
	}
	ns := func(d time.Duration) float64 { return float64(d.Nanoseconds()) / float64(g.Cols*g.Rows) }
	fmt.Fprintf(out, " | %.0f ns a cell, a pass of slope at machine scale %.0f\n", ns(look), ns(plane))
	return nil
}
