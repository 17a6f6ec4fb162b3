package mapping

// What external tests see of a ground's growth.

func (g *Ground) GrowthM() []float32        { return g.work.GrowthM }
func (g *Ground) SurfaceWarnings() []string { return g.surface.warnings }
func (g *Ground) SurfaceHow() string        { return g.surface.how }
