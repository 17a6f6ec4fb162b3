// Package rank finds values by their rank, such as medians, without sorting.
package rank

// Nth returns what would stand at index k if the values were sorted, and moves them
// about. None may be NaN. It is Hoare's selection (1961, Algorithm 65), whose time grows
// with the number of values, where sorting them all would take longer than the slopes
// they come from. It panics where k is no index of v.
func Nth[T float32 | float64](v []T, k int) T {
	for lo, hi := 0, len(v)-1; lo < hi; {
		pivot := v[(lo+hi)/2]
		i, j := lo, hi
		for i <= j {
			for v[i] < pivot {
				i++
			}
			for v[j] > pivot {
				j--
			}
			if i <= j {
				v[i], v[j] = v[j], v[i]
				i++
				j--
			}
		}
		switch {
		case k <= j:
			hi = j
		case k >= i:
			lo = i
		default:
			return v[k]
		}
	}
	return v[k]
}
