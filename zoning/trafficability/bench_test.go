package trafficability

import (
	"context"
	"math/rand/v2"
	"testing"
)

// Machines on 40 acres of hills with a grain of 6 cm, in cells of a meter.
func BenchmarkFind(b *testing.B) {
	rnd := rand.New(rand.NewPCG(1, 1))
	wave := hills(3, 300, 30)
	g := made(b, 400, 400, 1, 1, func(x, y float64) float64 { return wave(x, y) + 0.06*(2*rnd.Float64()-1) })
	g.unloads([2]int{200, 200})
	for b.Loop() {
		must(Find(context.Background(), g, siteFleet()))
	}
}
