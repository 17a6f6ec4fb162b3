package mapping

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning/fleet"
)

// Smoothing that mends noise flattens a bank as well: it is found on the heights as they were
// measured, and no machine works within its length above it, nor where it leans on the face.
func TestSmoothingHidesNoBank(t *testing.T) {
	const side, edge = 200, 100 // rows; the bank falls to the south of the edge
	for _, ft := range []float64{3, 4, 6} {
		for _, sigmaM := range []float64{0, 0.02, 0.05, 0.09, 0.15} {
			ground := plane(side, 5)
			for i := range ground.z {
				if i/side >= edge {
					ground.z[i] -= ft * 0.3048
				}
			}
			m := ground.noisy(sigmaM).mapped(t, fleet.Default(), Options{})
			works, sure := 0, 0
			for i := (edge - 3) * side; i < (edge+1)*side; i++ {
				if m.Cells.Masks[i].First() >= 0 {
					works++
				}
				if m.Cells.Sure[i] != 0 {
					sure++
				}
			}
			assert.Zero(t, works, "%g ft, noise of %g m", ft, sigmaM)
			assert.Zero(t, sure, "%g ft, noise of %g m", ft, sigmaM)
		}
	}
}
