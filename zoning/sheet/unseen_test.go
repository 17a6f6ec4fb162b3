package sheet

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// bankScene is level ground with a steep bank of 60% from west to east, so many meters wide.
func bankScene(wide float64) scene {
	return scene{900, 900, 1, func(x, y float64) float64 { return 0.6 * math.Min(math.Max(y, 0), wide) }, threeMachines(),
		[]zoning.Parcel{box("Long Bank", -400, -400, 400, 400)}}
}

// A bank thinner than a millimeter on paper was nowhere to be seen on page 1.
func TestNarrowZoneIsToldInWords(t *testing.T) {
	for wide, told := range map[float64]bool{2: true, 40: false} {
		g, zm := bankScene(wide).mapped(t)
		p := &Page{Map: zm, Grid: g}
		text := strings.Join(strings.Fields(pdfText(t, written(t, p.WritePDF))), " ")
		first, _, _ := strings.Cut(text, "page 1 of 2")
		q, tt, err := p.ready(true)
		require.NoError(t, err)
		m, err := newGroundMap(q, tt, 540, 400)
		require.NoError(t, err)
		crawler := 0
		for _, u := range m.unseen() {
			if u.band == 2 {
				crawler += u.pieces
				assert.InDelta(t, tt.bands[2].acres, u.acres, 1e-6, "the whole zone is the strip")
			}
			assert.NotEqual(t, 0, u.band, "the wide ground is seen")
		}
		if !told {
			assert.Zero(t, crawler, "%v m", wide)
			continue
		}
		assert.Equal(t, 1, crawler, "%v m", wide)
		assert.Contains(t, first, "Not to be seen at this scale")
		assert.Contains(t, first, "Remote crawler "+tt.acresText(tt.bands[2].acres)+" acres in 1 strip or spot")
	}
}
