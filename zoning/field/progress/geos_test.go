//go:build cgo

package progress

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/airbusgeo/godal"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Ground that a winding track clears, driven over itself, is the buffer that GEOS
// draws around it, to the cells along its edge.
func TestTracksAsGEOSBuffers(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 12))
	for range 12 {
		w := windowOf(t, 0.2)
		widthM := 1.5 + 3*rng.Float64()
		x, y, heading := 75.0, 60.0, 6*rng.Float64()
		var track orb.LineString
		var wkt []string
		for range 60 {
			track = append(track, at(w, x, y))
			wkt = append(wkt, fmt.Sprintf("%.6f %.6f", x, y))
			heading += rng.NormFloat64()
			x = min(max(x+4*math.Cos(heading), 5), 145)
			y = min(max(y+4*math.Sin(heading), 5), 115)
		}
		line, err := godal.NewGeometryFromWKT("LINESTRING ("+strings.Join(wkt, ",")+")", nil)
		require.NoError(t, err)
		buffer, err := line.Buffer(widthM/2, 32)
		require.NoError(t, err)
		got := m2Marked(w, func(visit func(int)) { w.alongTrack(track, widthM, visit) })
		assert.InEpsilon(t, buffer.Area(), got, 0.01, "width %.2f m", widthM)
		buffer.Close()
		line.Close()
	}
}
