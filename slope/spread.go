package slope

import "math"

// Spread is how far the ground's slope may lie from the measured one: the error of the
// heights, alike everywhere, and what cells hide, which differs from place to place. The two
// are independent, so their variances add.
type Spread struct {
	Cov    Cov
	Hidden *Hidden // nil where cells hide nothing
	// OffBy is by how much any slope may be off beside that, such as where heights are
	// rounded: alike in all of a window, it is no noise.
	OffBy float64
}

// Fill writes UpperSquared of a field, which has room for it, by [Cov.Upper] at
// [Certainty]. The field is that of the grid of Hidden, or rows of it. Cells that unsure
// marks, by their place in the field, have +Inf: no bound is known for them; nil marks none.
func (s Spread) Fill(f *Field, unsure []bool) {
	z, k := quantiles(Certainty)
	noise := s.Cov.MaxSigma() * s.Cov.MaxSigma()
	sigma := math.Sqrt(noise)
	if s.Hidden == nil && unsure == nil {
		s.fillAlike(f, z*sigma, k*sigma*sigma)
		return
	}
	var hidden []float32
	for i, squared := range f.Squared {
		if s.Hidden != nil {
			col := i % f.Cols
			if col == 0 {
				hidden = s.Hidden.row(f.Row0 + i/f.Cols)
			}
			sigma = math.Sqrt(noise + float64(hidden[col/s.Hidden.span[0]]))
		}
		along := math.Sqrt(float64(squared)) + s.OffBy + z*sigma
		upper := along*along + k*sigma*sigma
		if squared == squared && (unsure != nil && unsure[i] || upper != upper) {
			upper = math.Inf(1)
		}
		f.UpperSquared[i] = float32(upper)
	}
}

// fillAlike is Fill where what is added to every slope, and to its square, is alike.
func (s Spread) fillAlike(f *Field, more, moreSquared float64) {
	off, to := s.OffBy, f.UpperSquared[:len(f.Squared)]
	for i, squared := range f.Squared {
		along := math.Sqrt(float64(squared)) + off + more
		upper := along*along + moreSquared
		if upper != upper && squared == squared {
			upper = math.Inf(1)
		}
		to[i] = float32(upper)
	}
}

// SureBelow returns the measured slope below which ground that hides as much as the median
// cell does is surely below a limit; 0 where no slope is.
func (s Spread) SureBelow(limit, certainty float64) float64 {
	sigma := s.Cov.MaxSigma()
	if s.Hidden != nil {
		z, _ := quantiles(certainty)
		sigma = math.Hypot(sigma, s.Hidden.MedianRise(certainty)/z)
	}
	return max(0, sureBelow(sigma, limit, certainty)-s.OffBy)
}

// AddUpper makes room for UpperSquared.
func (f *Field) AddUpper() { f.UpperSquared = make([]float32, len(f.Squared)) }
