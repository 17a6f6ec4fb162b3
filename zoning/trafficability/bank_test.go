package trafficability

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/zoning"
)

// A bank of 2 m on level ground, at every offset and azimuth across the grid, as
// sharp as the raster shows it: no cell on which a track loader may stand has it
// under the machine, whatever the footprint.
func TestNoTrackLoaderStandsAcrossABank(t *testing.T) {
	const n, height = 41, 2.0
	fleet := []zoning.Machine{{Key: "track-loader", LimitPct: 30, StepM: 0.4572, RoughM: 0.1524}}
	for _, half := range []int{1, 2, 4, 8} {
		for az := 0.0; az < 360; az += 7.5 {
			for _, offset := range []float64{0, 0.25, 0.5, 0.75} {
				sin, cos := math.Sincos(az * math.Pi / 180)
				upper := func(c, r int) bool {
					return (float64(c)-n/2+offset)*sin+(n/2-float64(r))*cos > 0
				}
				z := make([]float32, n*n)
				for i := range z {
					if upper(i%n, i/n) {
						z[i] = height
					}
				}
				g, err := terrain.NewGrid(z, n, n, 1, 1)
				require.NoError(t, err)
				f := slope.NewField(g)
				f.AddRelief()
				slope.Planes(g, slope.Footprint{HalfCols: half, HalfRows: half}, zoning.Fleet(fleet).StepCareM(), 0, n, f)
				masks := make([]zoning.Mask, n*n)
				Stand(f, fleet, masks)
				for i, m := range masks {
					c, r := i%n, i/n
					if m&1 == 0 {
						continue
					}
					for j := max(r-half, 0); j <= min(r+half, n-1); j++ {
						for k := max(c-half, 0); k <= min(c+half, n-1); k++ {
							if z[i] != z[j*n+k] {
								t.Fatalf("half %d, azimuth %g: stands across the bank at %d,%d", half, az, c, r)
							}
						}
					}
				}
			}
		}
	}
}
