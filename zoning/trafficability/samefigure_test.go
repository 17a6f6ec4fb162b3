package trafficability

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// A machine works stems, growth and soft ground of the very figures that it is given, in
// inches, feet and psi too: cells keep less of a number than a fleet, and the limit was
// compared in full.
func TestTheSameFigureInACellAndInAFleet(t *testing.T) {
	const inch, foot, psi = 0.0254, 0.3048, 6.894757293168361
	g := level(t, 41, 41, 1)
	for n := 1.0; n <= 60; n++ {
		m := zoning.Machine{Key: "a", LimitPct: 30, StemM: n * inch, TallestM: n * foot, PressureKPa: n * psi}
		g.StemsM, g.GrowthM, g.BearsKPa = one(n*inch), one(n*foot), one(n*psi)
		assert.Equal(t, zoning.Works, find(g, m).Why[0][middle], "%g in, ft and psi", n)
	}
}
