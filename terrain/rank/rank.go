// Package rank finds values by their rank, such as medians, without sorting.
package rank

// Nth returns what would stand at index k if the values were sorted, and moves them
// about. None may be NaN. It is Hoare's selection (1961, Algorithm 65), whose time grows
// with the number of values, where sorting them all would take longer than the slopes
// they come from; values are moved without asking where to, for half of such guesses are
// wrong. It panics where k is no index of v.
func Nth[T float32 | float64](v []T, k int) T {
	rest := v
	for len(rest) > 1 {
		pivot := middle(rest[0], rest[len(rest)/2], rest[len(rest)-1])
		less := 0
		for i, x := range rest {
			rest[i], rest[less] = rest[less], x
			less += count(x < pivot)
		}
		if k < less {
			rest = rest[:less]
			continue
		}
		rest, k = rest[less:], k-less
		same := 0
		for i, x := range rest {
			rest[i], rest[same] = rest[same], x
			same += count(x <= pivot)
		}
		if k < same {
			return pivot
		}
		rest, k = rest[same:], k-same
	}
	return rest[k]
}

// count is 1 or 0, without a jump.
func count(is bool) int {
	n := 0
	if is {
		n = 1
	}
	return n
}

// middle is the middle one of three.
func middle[T float32 | float64](a, b, c T) T { return max(min(a, b), min(max(a, b), c)) }
