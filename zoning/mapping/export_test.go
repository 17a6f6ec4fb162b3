package mapping

import "github.com/acreband/acreband/terrain/measure"

// What external tests see of a ground's growth.

func (g *Ground) GrowthM() []float32 { return g.work.GrowthM }
func (g *Ground) SurfaceWarnings() []string {
	return append(g.surface.warnings, g.surface.doubts(measure.US)...)
}
func (g *Ground) SurfaceHow() string { return g.surface.how }
