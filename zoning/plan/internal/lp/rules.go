package lp

// patience tells when Bland's rule takes over, which is slower and never cycles: after
// many pivots on end that went nowhere.
type patience struct{ idle, most int }

// over reports whether it is at an end.
func (p *patience) over() bool { return p.idle > p.most }

// count counts a pivot by how far it went.
func (p *patience) count(far float64) {
	if far > leastStep {
		p.idle = 0
	} else {
		p.idle++
	}
}

// Less than these is what rounding leaves: of a step, and of a rate at which a share falls.
const (
	leastStep = 1e-12
	leastRate = 1e-9
)

// ratio finds what stops a column on its way into the basis: the share that is first at
// zero. Of equals the one that falls fastest leaves, since its pivot is the largest, or by Bland's
// rule the first.
type ratio struct {
	far   float64 // how far the column comes
	leave int     // a row of the basis, or rows + block; below zero for none
	rate  float64 // at which that one falls
	bland bool
}

// consider takes in a share and how fast it falls.
func (r *ratio) consider(x, rate float64, who int) {
	if rate <= leastRate {
		return
	}
	t := max(x, 0) / rate
	if t < r.far-leastStep || t < r.far+leastStep && !r.bland && rate > r.rate {
		r.far, r.leave, r.rate = min(r.far, t), who, rate
	}
}
