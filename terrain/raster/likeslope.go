package raster

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/acreband/acreband/terrain"
)

// Values that look like a slope's: they begin at nothing, and are about as rough from
// cell to cell as over many cells. Heights grow apart with distance: over 16 cells by
// 4.4 times and more of what they do over 2, where slope, aspect and ruggedness do so by
// 3.2 times and less (found on eight public rasters of 1 to 30 m and what GDAL's tools
// derive from each; growth does so by 2.6). Measures on both sides of nothing, such as a
// position index, do so by half as much.
const (
	nearLag, farLag = 2, 16
	likeHeights     = 3.8
	likePosition    = 2.2

	leastLike     = 5.0 // of values: ground by the sea may lie as low and be as rough
	likeMostCellM = 50  // above, heights are as rough

	sampleSide = 64 // cells of a place that is looked at
	sampleFew  = 1000
)

// likeness is what a look at some of a raster's values shows.
type likeness struct {
	values               []float64
	near, far            float64 // sums of differences
	nearPairs, farPairs  int
	least, greatest, mid float64 // of the values: the first, the last and the middle hundredth
	most                 float64
}

// checkValues refuses a raster whose values look like a slope, an aspect or growth. A
// raster that speaks of heights is believed. Of most rasters only their middle is read: its
// values do not begin at nothing.
func (r *Raster) checkValues(ctx context.Context) error {
	if r.saysHeights() || r.options.Surface || max(r.Source.CellM[0], r.Source.CellM[1]) > likeMostCellM || isRemote(r.Source.Path) {
		return nil
	}
	cols, rows := r.Source.Cols, r.Source.Rows
	var l likeness
	looked := map[terrain.Window]bool{}
	for i, at := range [][2]int{{1, 1}, {0, 0}, {2, 2}, {0, 2}, {2, 0}, {1, 0}, {0, 1}, {2, 1}, {1, 2}} {
		w := terrain.Window{Col0: max(0, cols-sampleSide) * at[0] / 2, Row0: max(0, rows-sampleSide) * at[1] / 2}
		w.Col1, w.Row1 = min(cols, w.Col0+sampleSide), min(rows, w.Row0+sampleSide)
		if looked[w] {
			continue
		}
		looked[w] = true
		v, err := r.stored(ctx, w, w.Cols(), w.Rows())
		if ended := ctx.Err(); ended != nil {
			return ended
		}
		if err != nil {
			return nil // reading the ground there will say so
		}
		l.add(r.declared(v), w.Cols())
		if i == 0 && len(l.values) >= sampleFew && !l.summed().suspect() {
			return nil
		}
	}
	if l.farPairs < sampleFew || !l.summed().suspect() {
		return nil
	}
	if l.upright() {
		return fmt.Errorf("%w: its values are angles of up to 90, as of a slope that took degrees for meters; %s", ErrNotHeights, cureTitle)
	}
	grow := l.far / float64(l.farPairs) * float64(l.nearPairs) / l.near
	if most := map[bool]float64{true: likeHeights, false: likePosition}[l.fromNothing()]; !(grow < most) {
		return nil
	}
	return fmt.Errorf("%w: its values, from %.3g to %.3g, begin at nothing and are as rough as a slope, an aspect or growth, which no ground is; %s", ErrNotHeights, l.least, l.greatest, cureTitle)
}

// declared turns stored values into what they stand for, voids into NaN.
func (r *Raster) declared(values []float64) []float64 {
	for i, v := range values {
		if r.nodata != nil && v == *r.nodata {
			v = math.NaN()
		}
		if v = v*r.Source.Scale + r.Source.Offset; math.Abs(v) > 9000 {
			v = math.NaN()
		}
		values[i] = v
	}
	return values
}

// add takes in a window of values.
func (l *likeness) add(v []float64, cols int) {
	for i, x := range v {
		if x != x {
			continue
		}
		l.values = append(l.values, x)
		for _, lag := range []int{nearLag, farLag} {
			if i%cols+lag < cols {
				l.pair(lag, x, v[i+lag])
			}
			if i+lag*cols < len(v) {
				l.pair(lag, x, v[i+lag*cols])
			}
		}
	}
}

func (l *likeness) pair(lag int, a, b float64) {
	switch d := math.Abs(a - b); {
	case d != d:
	case lag == nearLag:
		l.near, l.nearPairs = l.near+d, l.nearPairs+1
	default:
		l.far, l.farPairs = l.far+d, l.farPairs+1
	}
}

func (l *likeness) summed() *likeness {
	v := slices.Sorted(slices.Values(l.values))
	if n := len(v) - 1; n >= 0 {
		l.least, l.mid, l.greatest, l.most = v[n/100], v[n/2], v[n-n/100], v[n]
	}
	return l
}

// suspect reports whether values begin at nothing, or lie evenly around it.
func (l *likeness) suspect() bool { return l.fromNothing() || l.aroundNothing() || l.upright() }

// upright reports whether values are those of a slope in degrees whose cells were taken
// for a millionth of what they are.
func (l *likeness) upright() bool { return l.most > 89.999 && l.most <= 90 && l.mid > 89 }

func (l *likeness) fromNothing() bool {
	return l.greatest >= leastLike && l.least >= -0.05*l.greatest && l.least <= 0.2*l.greatest
}

func (l *likeness) aroundNothing() bool {
	return l.least < 0 && l.greatest-l.least >= leastLike && math.Abs(l.mid) <= 0.05*(l.greatest-l.least)
}
