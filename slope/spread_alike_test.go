package slope

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is filled at once where nothing differs from cell to cell has the bits of what is filled cell
// by cell: of slopes of all sizes, of voids, and where the noise is unknown.
func TestFillAlikeIsFillOfEachCell(t *testing.T) {
	for _, cov := range []Cov{{PP: 1e-4, QQ: 1e-4}, {}, {PP: math.NaN(), QQ: math.NaN()}} {
		cov.Metric.A, cov.Metric.C = 1, 1
		for _, off := range []float64{0, 0.013} {
			s := Spread{Cov: cov, OffBy: off}
			f := &Field{Cols: 5, Rows: 2, Squared: []float32{0, 1e-9, 0.01, 0.09, nan, 0.16, 1, 7, float32(math.Inf(1)), 1e-30}}
			f.AddUpper()
			s.Fill(f, nil)
			each := &Field{Cols: 5, Rows: 2, Squared: f.Squared}
			each.AddUpper()
			s.Fill(each, make([]bool, 10)) // none unsure
			for i, want := range each.UpperSquared {
				assert.Equal(t, math.Float32bits(want), math.Float32bits(f.UpperSquared[i]), "%v, %g, cell %d", cov, off, i)
			}
		}
	}
}
