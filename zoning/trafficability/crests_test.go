package trafficability

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"github.com/acreband/acreband/zoning"
)

// Crests that grounds share are those that each would find, for any machine and state.
func TestSharedCrestsAreTheSame(t *testing.T) {
	for seed := range uint64(4) {
		g := site(t, seed)
		shared := *g
		shared.Crests = new(Crests)
		m := zoning.Fleet(siteFleet())
		m[1].CrestM = 20 // asks for crests farther off
		for _, fleet := range []zoning.Fleet{m, m.On(zoning.Wet), m} {
			assert.Equal(t, must(Find(context.Background(), g, fleet)), must(Find(context.Background(), &shared, fleet)), "seed %d", seed)
		}
	}
}

// A slope whose direction nobody gave is followed by the heights themselves, to the same face.
func TestCrestsWithoutAspect(t *testing.T) {
	g := brink(t, 12*foot)
	m := zoning.Machine{Key: "a", LimitPct: 30}
	want := find(g, m).reasons(g, 0, 10)
	field := *g.Field
	field.Aspect = nil
	g.Field = &field
	assert.Equal(t, want, find(g, m).reasons(g, 0, 10))
}

// A face above what a machine drives on freely is worked straight up and down only, on its
// tether: however much it may take across.
func TestOnATetherStraightUpAndDown(t *testing.T) {
	m := tethered()
	m.CrossPct = 90
	for _, turn := range []float64{0, 0.2, 0.5, 1} {
		sin, cos := math.Sincos(turn)
		g := made(t, 40, 40, 1, 1, func(x, y float64) float64 { return -0.8 * (x*sin + y*cos) })
		p := moverOn(g, m)
		p.anchors = make([]bool, len(g.Lots))
		for i := range p.anchors {
			p.anchors[i] = true
		}
		p.rules = nil
		p.ask(0) // now that something holds it
		p.judge()
		heads := p.scratch.heads[p.padded(20*40+20)]
		assert.NotZero(t, heads, "turned by %g", turn)
		for k := range headings {
			w := ways[2*k]
			off := math.Abs(math.Remainder(math.Atan2(float64(w.dr), float64(w.dc))-math.Atan2(cos, sin), math.Pi))
			if heads>>k&1 == 1 {
				assert.Less(t, off*180/math.Pi, 28.0, "turned by %g, heading %d", turn, k)
			} else {
				assert.Greater(t, off*180/math.Pi, 25.5, "turned by %g, heading %d", turn, k)
			}
		}
	}
}
