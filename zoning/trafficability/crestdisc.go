package trafficability

import (
	"math"
	"math/bits"

	"github.com/acreband/acreband/terrain"
)

// crestDisc is the cells around a crest that are nearer to it than a distance and not below the
// face: no lower than half its height.
type crestDisc struct {
	*lie
	grid *terrain.Grid
	// Columns lie within sqrt(wide - narrows·v²) of the middle, v rows away, and rows within tall.
	wide, narrows, tall float64
}

func (l *lie) crestDisc(g *terrain.Grid, metres float64) crestDisc {
	const tie = 1 - 1e-9 // rounding does not decide about a cell at the very distance
	return crestDisc{
		lie: l, grid: g, wide: metres * metres * tie / l.e,
		narrows: l.g/l.e - l.f*l.f/(l.e*l.e), tall: metres / math.Sqrt(l.g-l.f*l.f/l.e),
	}
}

// rowsAround are the first and the last row in which the disc around a crest has cells.
func (d *crestDisc) rowsAround(x crest) (first, last int) {
	row := float64(x.row)
	return max(int(math.Ceil(row-d.tall)), 0), min(int(math.Floor(row+d.tall)), d.lie.rows-1)
}

// addTo adds the cells around a crest to a set.
func (d *crestDisc) addTo(near cellSet, x crest) {
	first, last := d.rowsAround(x)
	for r := first; r <= last; r++ {
		v := float64(r) - float64(x.row)
		// e u² + 2 f u v + g v² < metres²
		mid, left := -d.f*v/d.e, d.wide-v*v*d.narrows
		if left < 0 {
			continue
		}
		half := math.Sqrt(left)
		from, to := max(int(math.Ceil(float64(x.col)+mid-half)), 0), min(int(math.Floor(float64(x.col)+mid+half)), d.cols-1)
		heights, cells := d.grid.Z[r*d.grid.Stride:][:d.cols], near.row(r)
		for ; from <= to; from = (from | 63) + 1 { // word by word
			w := from / 64
			asked := math.MaxUint64 << (from % 64) & (math.MaxUint64 >> max(0, w*64+63-to)) &^ cells[w]
			cells[w] |= higher(heights[w*64:], asked, x.z-x.faceM/2)
		}
	}
}

// higher are the cells of a word, of those asked about, that are higher than something.
func higher(heights []float32, asked uint64, than float32) (cells uint64) {
	for ; asked != 0; asked &= asked - 1 {
		j := bits.TrailingZeros64(asked)
		cells |= uint64(bit(heights[j] > than)) << j
	}
	return cells
}
