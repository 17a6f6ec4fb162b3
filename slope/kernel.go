package slope

// Kernel is how a method of slope weighs the heights of a window: the rise along
// a row is p = Σ fallᵢ·meanⱼ·z, and down a column q = Σ meanᵢ·fallⱼ·z, where i
// counts the window's columns and j its rows, so a kernel is four short lists.
type Kernel struct {
	colFall, colMean []float64 // over the columns of the window
	rowFall, rowMean []float64 // over its rows
}

// HornKernel returns the weights of Horn 1981, those of [Rows].
func HornKernel() Kernel {
	fall, mean := []float64{-0.5, 0, 0.5}, []float64{0.25, 0.5, 0.25}
	return Kernel{fall, mean, fall, mean}
}

// PlaneKernel returns the weights of the least-squares plane over a window of
// 2·halfCols+1 columns by 2·halfRows+1 rows, those of [Planes]; with halves of 1
// those of Evans and of Sharpnack and Akin 1969. A half of less than 1 has no
// plane: its covariance is NaN, and no slope surely below any limit.
func PlaneKernel(halfCols, halfRows int) Kernel {
	k := Kernel{}
	k.colFall, k.colMean = lineFit(halfCols)
	k.rowFall, k.rowMean = lineFit(halfRows)
	return k
}

// FacetKernel returns the weights of the slope between four heights, that of the middle of a
// facet where a grid was drawn from a coarser one: on the metric of that one's cells.
func FacetKernel() Kernel {
	fall, mean := []float64{-1, 1}, []float64{0.5, 0.5}
	return Kernel{fall, mean, fall, mean}
}

// lineFit returns the weights of the slope and of the mean of 2·half+1 values.
func lineFit(half int) (fall, mean []float64) {
	half = max(half, 0)
	squares := float64(half*(half+1)*(2*half+1)) / 3
	for i := -half; i <= half; i++ {
		fall = append(fall, float64(i)/squares)
		mean = append(mean, 1/float64(2*half+1))
	}
	return fall, mean
}

// lagged returns Σ aᵢ·bᵢ₊ₗ for the lags l of -(n-1) to n-1.
func lagged(a, b []float64) []float64 {
	out := make([]float64, 2*len(a)-1)
	for i, x := range a {
		for j, y := range b {
			out[j-i+len(a)-1] += x * y
		}
	}
	return out
}
