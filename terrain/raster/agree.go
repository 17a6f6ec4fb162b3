package raster

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/measure"
)

// ErrDisagree says that rasters cover the same ground and cannot both hold its heights.
var ErrDisagree = errors.New("they cover the same ground and do not show the same heights")

// Two surveys of one ground, or its first surface, differ by less (planning values, no
// source): heights that lie apart by more than any two vertical datums, that differ
// from place to place by half as much as the ground rises, or that lie apart and do not
// go up and down together, are not heights of the same ground. What Debian's GDAL
// derives from ten public rasters differs from them by more, but where ground is flat
// and lies within some metres of the sea.
const (
	apartM       = 100
	spreadM      = 10
	spreadOfRise = 0.5
	looseM       = 5
	looseFit     = 0.25

	mostPairs = 4096 // kept of two rasters
	fewPairs  = 64   // of which nothing is said
)

// overlap gathers heights of cells that two rasters share.
type overlap struct {
	first, second []float64
	every, seen   int
	differ        bool
}

func (o *overlap) add(first, second float64) {
	if first != first || second != second {
		return
	}
	o.differ = o.differ || first != second
	o.every = max(o.every, 1)
	if o.seen++; o.seen%o.every != 0 {
		return
	}
	o.first, o.second = append(o.first, first), append(o.second, second)
	if len(o.first) < mostPairs {
		return
	}
	n := 0
	for i := 1; i < len(o.first); i += 2 {
		o.first[n], o.second[n], n = o.first[i], o.second[i], n+1
	}
	o.first, o.second, o.every = o.first[:n], o.second[:n], 2*o.every
}

// gross says how far two rasters are from showing the same ground; "" where they may.
func (o *overlap) gross(u measure.Units) string {
	if len(o.first) < fewPairs {
		return ""
	}
	step, ratio := make([]float64, len(o.first)), make([]float64, len(o.first))
	for i, h := range o.first {
		step[i], ratio[i] = o.second[i]-h, o.second[i]/h
	}
	apart, spread, rise := median(step), spreadOf(step), max(spreadOf(o.first), spreadOf(o.second))
	times := median(ratio)
	const foot, within = 0.3048, 0.015
	switch {
	case math.Abs(apart) > looseM && (math.Abs(times*foot-1) < within || math.Abs(times/foot-1) < within):
		return fmt.Sprintf("the second's are %.3g times the first's: one is in feet; declare the unit in the file that lacks it, or give them to separate runs", times)
	case math.Abs(apart) > apartM,
		spread > max(spreadM, spreadOfRise*rise),
		math.Abs(apart) > looseM && fit(o.first, o.second) < looseFit:
		return fmt.Sprintf("the second lies %s from the first in the middle of %d cells compared, give or take %s; one of them is no bare earth (a slope, a ruggedness, growth?), or of another unit or datum: "+
			"remove it, or name the other alone", u.Height(math.Abs(apart)), len(step), u.Height(spread))
	}
	return ""
}

// spreadOf is what a standard deviation is of normal errors: 1.4826 times the median
// distance from the median.
func spreadOf(v []float64) float64 {
	mid := median(v)
	off := make([]float64, len(v))
	for i, x := range v {
		off[i] = math.Abs(x - mid)
	}
	return 1.4826 * median(off)
}

// fit is the correlation of two rows of numbers; 0 where one of them does not change.
func fit(a, b []float64) float64 {
	var ma, mb, aa, bb, ab float64
	for i := range a {
		ma, mb = ma+a[i]/float64(len(a)), mb+b[i]/float64(len(b))
	}
	for i := range a {
		x, y := a[i]-ma, b[i]-mb
		aa, bb, ab = aa+x*x, bb+y*y, ab+x*y
	}
	if aa == 0 || bb == 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}

// overlaps are those of the sources of a canvas or a join, by their places.
type overlaps map[[2]int]*overlap

func (o overlaps) of(first, second int) *overlap {
	key := [2]int{first, second}
	if o[key] == nil {
		o[key] = &overlap{}
	}
	return o[key]
}

// keys are in order.
func (o overlaps) keys() [][2]int {
	var out [][2]int
	for k := range o {
		out = append(out, k)
	}
	slices.SortFunc(out, func(a, b [2]int) int { return slices.Compare(a[:], b[:]) })
	return out
}

// check refuses sources of which two disagree.
func (o overlaps) check(u measure.Units, path func(source int) string) error {
	for _, k := range o.keys() {
		if why := o[k].gross(u); why != "" {
			return fmt.Errorf("%s and %s: %w: %s", path(k[0]), path(k[1]), ErrDisagree, why)
		}
	}
	return nil
}

// offset is how far the second of two rasters lies above the first, in meters, and of how many
// cells that is the middle; 0 where it is no more than least, or than chance makes it.
func (o *overlap) offset(least float64) (aboveM float64, cells int) {
	if len(o.first) < fewPairs {
		return 0, 0
	}
	step := make([]float64, len(o.first))
	for i, h := range o.first {
		step[i] = o.second[i] - h
	}
	above := median(step)
	// The standard error of a median of normal errors is 1.2533 times that of their mean.
	if chance := 3 * 1.2533 * spreadOf(step) / math.Sqrt(float64(len(step))); math.Abs(above) <= max(least, chance) {
		return 0, 0
	}
	return above, len(step)
}

// win is a raster whose heights were taken where another has some too.
type win struct {
	first, second, why string
	aboveM             float64 // how far the second lies above; 0 where the two agree
	cells              int     // of which that is the middle
}

// apart says how far two rasters of one ground lie apart.
func (w win) apart(u measure.Units) string {
	where := "above"
	if w.aboveM < 0 {
		where = "below"
	}
	return fmt.Sprintf("%s and %s cover the same ground, and the second lies %s %s the first in the middle of %d cells compared: another survey, or another datum; where one fills gaps of the other, slope is in part that step",
		w.first, w.second, u.Height(math.Abs(w.aboveM)), where, w.cells)
}

// apartWords says which rasters lie apart, but for pairs that were told of already.
func apartWords(u measure.Units, wins []win, told map[[2]string]bool) (out []string) {
	for _, w := range wins {
		if w.aboveM != 0 && len(out) < 3 && !told[[2]string{w.first, w.second}] && !told[[2]string{w.second, w.first}] {
			out = append(out, w.apart(u))
		}
	}
	return out
}

// wonWords says which rasters won, but for pairs that were told of already.
func wonWords(wins []win, told map[[2]string]bool) []string {
	const most = 3
	var out []string
	more := 0
	for _, w := range wins {
		switch {
		case told[[2]string{w.first, w.second}] || told[[2]string{w.second, w.first}]:
		case len(out) == most:
			more++
		default:
			out = append(out, fmt.Sprintf("%s before %s (%s)", w.first, w.second, w.why))
		}
	}
	if len(out) == 0 {
		return nil
	}
	if more > 0 {
		out = append(out, fmt.Sprintf("and %d more", more))
	}
	return []string{"several rasters cover the same ground, and the heights are those of one of them: " + strings.Join(out, "; ")}
}

// compareSide is how many cells of a coarser raster are compared, along each side.
const compareSide = 96

// compare sets the join's heights against those of a layer that it may need nothing of,
// in the middle of the ground that both cover. Rasters at an address are not asked.
func (j *join) compare(ctx context.Context, l *layer, first int) error {
	g := j.canvas.grid
	for i, m := range l.members {
		r := m.raster
		w := l.window.Grown(-l.halo).In(m.extent()).Moved(-m.cols, -m.rows)
		if w.Empty() || isRemote(r.Source.Path) {
			continue
		}
		w = w.Middle(compareSide)
		values, err := r.values(ctx, w.Col0, w.Row0, w.Cols(), w.Rows())
		if ended := ctx.Err(); ended != nil {
			return ended
		}
		if err != nil {
			return fmt.Errorf("%s: reading %d × %d cells at column %d, row %d: %w; the file may be cut short: fetch it again", r.Source.Path, w.Cols(), w.Rows(), w.Col0, w.Row0, err)
		}
		r.toMetres(values)
		heights := slices.Clone(values)
		var middles [][2]float64
		for k := range heights {
			middles = append(middles, [2]float64{float64(w.Col0+k%w.Cols()) + 0.5, float64(w.Row0+k/w.Cols()) + 0.5})
		}
		places, err := r.Locate(middles)
		if err != nil {
			return err
		}
		for k, p := range places {
			x, y := g.Frame.Cell(p[0], p[1])
			col, row := int(math.Floor(x))-g.Col0, int(math.Floor(y))-g.Row0
			if col < 0 || row < 0 || col >= g.Cols || row >= g.Rows {
				continue
			}
			j.shared.of(j.sourceAt(row*g.Stride+col), first+i).add(g.At(col, row), heights[k])
		}
	}
	return nil
}

// compareAll refuses coarser layers that disagree with the heights read, and tells which
// rasters won.
func (j *join) compareAll(ctx context.Context, coarser []*layer) error {
	all := slices.Clone(j.sources)
	for _, l := range coarser {
		if err := j.compare(ctx, l, len(all)); err != nil {
			return err
		}
		for _, m := range l.members {
			all = append(all, m.raster.Source)
		}
	}
	if err := j.shared.check(j.units, func(source int) string { return all[source].Path }); err != nil {
		return err
	}
	cell := all[0].CellM
	for _, of := range []overlaps{j.canvas.shared, j.shared} {
		for _, k := range of.keys() {
			if of[k].differ {
				w := win{first: all[k[0]].Path, second: all[k[1]].Path, why: wonBy(all[k[0]], all[k[1]])}
				w.aboveM, w.cells = of[k].offset(stepShare * math.Sqrt(cell[0]*cell[1]))
				j.wins = append(j.wins, w)
			}
		}
	}
	return nil
}

// wonBy says why the heights are those of the first of two sources.
func wonBy(first, second terrain.Source) string {
	a, b := first.CellM[0]*first.CellM[1], second.CellM[0]*second.CellM[1]
	if a < 0.95*b {
		return "finer cells"
	}
	return rank{0, first.Surveyed, first.Path}.why(rank{0, second.Surveyed, second.Path})
}

// sourceAt is the source of a cell's height; the first where there is none.
func (j *join) sourceAt(cell int) int {
	if j.canvas.from == nil || j.canvas.from[cell] == terrain.NoSource {
		return 0
	}
	return int(j.canvas.from[cell])
}
