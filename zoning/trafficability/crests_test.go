package trafficability

import (
	"context"
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
