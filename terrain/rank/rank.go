// Package rank finds values by their rank, such as medians, without sorting.
package rank

import "math"

// Nth returns what would stand at index k if the values were sorted, and moves them
// about. None may be NaN. It is Hoare's selection (1961, Algorithm 65), whose time grows
// with the number of values, where sorting them all would take longer than the slopes
// they come from; values are moved without asking where to, for half of such guesses are
// wrong. Of many values a sample tells where to part them, close to the one that is sought
// (Floyd and Rivest 1975, Algorithm 489). It panics where k is no index of v.
func Nth[T float32 | float64](v []T, k int) T {
	rest := v
	for len(rest) > 1 {
		pivot := pivotFor(rest, k)
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
		if less > 0 {
			continue
		}
		same := 0 // the pivot is the least of all
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

// sampled is how many values tell where many are parted, and many how many those are.
const (
	sampled = 128
	many    = 8 * sampled
)

// pivotFor is one of many values beyond the kth on the side of which there are fewer, so that
// most of the others fall away: by one and a half standard deviations of the sample's rank.
// Of few values it is the middle one of three.
func pivotFor[T float32 | float64](v []T, k int) T {
	if len(v) < many {
		return middle(v[0], v[len(v)/2], v[len(v)-1])
	}
	var sample [sampled]T
	for i := range sample {
		sample[i] = v[i*len(v)/sampled]
	}
	share := float64(k) / float64(len(v))
	beyond := 1.5 * math.Sqrt(share*(1-share)*sampled)
	if 2*k > len(v) {
		beyond = -beyond
	}
	at := int(share*sampled + beyond)
	return Nth(sample[:], min(max(at, 0), sampled-1))
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
