package canopy

// Shares of cells by which a surface is told that is its ground's ground: it lies level
// with open ground, sinks below the rest, as growth stands up, and hardly rises anywhere.
// Measuring growth wrongly errs to both sides, another datum leaves nothing level
// (planning values, no source).
const (
	sunkM, levelWithM    = 2, 1
	sunkShare, openShare = 0.05, 0.05
	sunkTimes            = 5
	sunkFew              = 30 // cells of which nothing is said
)

// findSunk finds whether ground and surface look exchanged.
func (r *GrowthReport) findSunk(all []sample) {
	var sunk, risen, level float64
	for _, s := range all {
		switch {
		case s.Dh < -sunkM:
			sunk++
		case s.Dh > sunkM:
			risen++
		case s.Dh > -levelWithM && s.Dh < levelWithM:
			level++
		}
	}
	n := float64(len(all))
	r.Swapped = n >= sunkFew && sunk >= sunkShare*n && sunk >= sunkTimes*risen && level >= openShare*n
	if n > 0 {
		r.Sunk, r.Risen = sunk/n, risen/n
	}
}
