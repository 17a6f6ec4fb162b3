package terrain

// Shares of cells on which a surface sinks below its ground, as the ground does below its
// surface: growth stands up, and measuring it wrongly errs to both sides (planning
// values, no source).
const (
	sunkM     = 2
	sunkShare = 0.05
	sunkTimes = 5
	sunkFew   = 30 // cells of which nothing is said
)

// findSunk finds the shares of cells that lie below and above open ground by more than
// [sunkM], were ground and surface exchanged: open ground is then where differences crowd
// highest.
func (r *GrowthReport) findSunk(all []sample, band float64) {
	down := make([]float64, len(all))
	for i, s := range all {
		down[i] = -s.dh
	}
	open := 0.0
	if c, ok := lowestCrowd(down, band); ok {
		open = c.mid
	}
	for _, d := range down {
		switch {
		case d > open+sunkM:
			r.Sunk += 1 / float64(len(down))
		case d < open-sunkM:
			r.Risen += 1 / float64(len(down))
		}
	}
	r.Swapped = len(down) >= sunkFew && r.Sunk >= sunkShare && r.Sunk >= sunkTimes*r.Risen
}
