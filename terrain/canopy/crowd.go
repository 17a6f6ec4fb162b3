package canopy

import "slices"

// crowd is where the lowest of many values lie close together: over ground, the
// differences of open ground below those of what grows.
type crowd struct {
	mid    float64
	spread float64 // of the values below mid, which growth does not reach
	share  float64 // of all values, within the band around it
}

const (
	crowdFew   = 400 // values below which there is no crowd
	crowdShare = 20  // a band holds a twentieth of the values where they lie closest
	crowdFalls = 8   // a crowd may be thinner than the thickest by this
)

// lowestCrowd finds the lowest band of values, at least band wide, that holds more
// than those around it, and an eighth of what the fullest band holds. It sorts the
// values. Open ground that is less than some twentieth of all is not found.
func lowestCrowd(v []float64, band float64) (crowd, bool) {
	n := len(v)
	if n < crowdFew {
		return crowd{}, false
	}
	slices.Sort(v)
	k := n / crowdShare
	narrowest := v[n-1] - v[0]
	for i := 0; i+k < n; i++ {
		narrowest = min(narrowest, v[i+k]-v[i])
	}
	band = max(band, narrowest)
	// Every few values the band that starts there is counted.
	step := max(1, k/32)
	var starts, counts []int
	fullest := 0
	for i := 0; i < n; i += step {
		end, _ := slices.BinarySearch(v, v[i]+band)
		starts, counts = append(starts, i), append(counts, end-i)
		fullest = max(fullest, end-i)
	}
	for i, count := range counts {
		if count*crowdFalls < fullest || !isPeak(v, starts, counts, i, 2*band) {
			continue
		}
		from := starts[i]
		c := crowd{mid: v[from+count/2], share: float64(count) / float64(n)}
		below := v[:from+count/2] // never none: a crowd holds three values at least
		c.spread = toSigma * (c.mid - below[len(below)/2])
		return c, true
	}
	return crowd{}, false
}

// isPeak reports whether no band that starts within reach above holds more. One below that
// does was taken before, or gave way to one above it that is fuller still.
func isPeak(v []float64, starts, counts []int, i int, reach float64) bool {
	at := v[starts[i]]
	for j := i + 1; j < len(starts) && v[starts[j]]-at <= reach; j++ {
		if counts[j] > counts[i] {
			return false
		}
	}
	return true
}
