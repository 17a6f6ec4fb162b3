package tour

import "math"

// MostBounded is up to how many places a round has the better bound, which takes the
// square of their number in time.
const MostBounded = 1500

// bound is a length that no round goes below.
func (t *round) bound() float64 {
	n := len(t.at)
	switch {
	case n < 2:
		return 0
	case n < 4: // of two or three places there is one round
		return t.length()
	case n > MostBounded:
		return t.byNearest()
	}
	return t.byTrees()
}

// byNearest is half the way from every place to its two nearest: a round leaves each
// by two ways, each of which is counted at both ends.
func (t *round) byNearest() float64 {
	sum := 0.0
	for i, near := range t.near {
		sum += t.d(i, near[0]) + t.d(i, near[1])
	}
	return sum / 2
}

// How often the weights of the bound are bettered: at least, at most, and in how many
// ways looked at, which is some tenths of a second.
const (
	leastClimbs, mostClimbs = 60, 400
	waysLookedAt            = 1 << 26
)

// byTrees is the best of 1-trees over weighted ways (Held and Karp 1971). A 1-tree is the
// least tree over all places but one, and the two least ways to that one; a round is a
// 1-tree in which two ways meet at every place. A weight on a place adds to each of its
// ways, so to a round twice the sum of weights: less that, the least 1-tree is no longer
// than any round. Weights grow where more than two ways meet, by as much as would close
// what is left to the round's length if it closed evenly, and by less and less (Held,
// Wolfe and Crowder 1974).
func (t *round) byTrees() float64 {
	n := len(t.at)
	weight := make([]float64, n)
	climbs := min(max(waysLookedAt/(n*n), leastClimbs), mostClimbs)
	most, best := t.length(), 0.0
	for k := range climbs {
		length, meet := t.oneTree(weight)
		for _, w := range weight {
			length -= 2 * w
		}
		best = max(best, length)
		off := 0
		for _, m := range meet {
			off += (m - 2) * (m - 2)
		}
		if off == 0 {
			break // it is a round
		}
		step := 2 * math.Pow(lastStep, float64(k)/float64(climbs)) * (most - length) / float64(off)
		for i, m := range meet {
			weight[i] += step * float64(m-2)
		}
	}
	return best
}

// lastStep is the last step's share of what is left to close, of the first one's.
const lastStep = 0.01

// oneTree is the length of the least 1-tree, and how many of its ways meet at each
// place. Prim's way, over all places but the first.
func (t *round) oneTree(weight []float64) (length float64, meet []int) {
	n := len(t.at)
	meet = make([]int, n)
	way, from := make([]float64, n), make([]int, n)
	joined := make([]bool, n)
	for i := range way {
		way[i] = math.Inf(1)
	}
	way[1] = 0
	for range n - 1 {
		next := -1
		for i := 1; i < n; i++ {
			if !joined[i] && (next < 0 || way[i] < way[next]) {
				next = i
			}
		}
		joined[next] = true
		if next != 1 {
			length += way[next]
			meet[next]++
			meet[from[next]]++
		}
		for i := 1; i < n; i++ {
			if w := t.d(next, i) + weight[next] + weight[i]; !joined[i] && w < way[i] {
				way[i], from[i] = w, next
			}
		}
	}
	one, two := -1, -1
	least, second := math.Inf(1), math.Inf(1)
	for i := 1; i < n; i++ {
		switch w := t.d(0, i) + weight[0] + weight[i]; {
		case w < least:
			two, second, one, least = one, least, i, w
		case w < second:
			two, second = i, w
		}
	}
	meet[0] = 2
	meet[one]++
	meet[two]++
	return length + least + second, meet
}
