package site_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Each rule is named at a spot that it decides, with its figures.
func TestWhy(t *testing.T) {
	g, m := everything(t), base(t)
	for _, c := range []struct {
		x, y    float64
		machine int
		words   string
	}{
		{100, 60, loader, "may work it"},
		{300, 95, loader, "no: closed: dead-flat water"},
		{150, 104, crawler, "no: closed: Burial ground (no-go)"},
		{163.5, 104.5, loader, "no: within the setback of Burial ground (no-go), 25 ft"},
		{215, 190, loader, "no: within the setback of Branch (no-go), which grows with slope (kentucky-for-69)"},
		{66, 106, loader, "no: within the setback of Boundary oak (leave-tree), 10 ft where none is given"},
		{120.5, 190.5, boom, "no: too near to Power line (overhead-line): its clearance is 15 ft, and the boom reaches 20 ft"},
		{190.5, 110.5, loader, "no: the ground bears 4.0 psi (28 kPa), and it presses 5.0 psi (34 kPa)"},
		{340, 120, loader, "no: growth 38 ft tall with stems of 10 in; it handles 25 ft and 8 in"},
		{300, 45, carrier, "no: selective clearing, and it is for production"},
		{120.5, 226.5, carrier, "no: no way of 200 ft or less straight up or down the fall line to ground of 15% or less, where it can turn"},
		{118, 164, carrier, "no: the patch is smaller than the 3 acres worth moving it to"},
		{300.5, 228.5, crawler, "and it is held to 50% on dry ground; above that on a tether only, and the fleet does not say that its manual allows one (tether_basis)"},
	} {
		words, err := g.Why(m.ZoneMap, g.spot(c.x, c.y))
		require.NoError(t, err)
		require.Len(t, words, 1+len(m.Fleet))
		name := m.Fleet[c.machine].Name + ": "
		require.True(t, strings.HasPrefix(words[1+c.machine], name))
		assert.Contains(t, strings.TrimPrefix(words[1+c.machine], name), c.words, "at %g, %g", c.x, c.y)
	}
	_, err := g.Why(m.ZoneMap, g.spot(-3000, 0))
	assert.ErrorContains(t, err, "lies off the ground that was read; longitude comes first")
}
