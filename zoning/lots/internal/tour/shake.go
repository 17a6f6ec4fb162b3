package tour

import (
	"math/rand/v2"
	"slices"
)

// Shakes of a round that is as good as turns and moves make it, and how long the two
// stretches are at most that each exchanges.
const (
	shakesAPlace   = 20
	mostShakes     = 3000
	longestShaken  = 30
	leastToBeShook = 5 // places
)

// shake exchanges two neighbouring stretches by chance, which no turn undoes at once,
// improves what that left, and keeps it where the round is shorter (iterated local
// search by double bridges, Martin, Otto and Felten 1991). Chance has a fixed seed.
func (t *round) shake() {
	n := len(t.order)
	if n < leastToBeShook || n > MostBounded {
		return
	}
	r := rand.New(rand.NewPCG(1, uint64(n)))
	best, order := t.length(), slices.Clone(t.order)
	for range min(mostShakes, shakesAPlace*n) {
		longest := min(longestShaken, (n-2)/2)
		from, one, two := r.IntN(n), 1+r.IntN(longest), 1+r.IntN(longest)
		stretch := make([]int, 0, one+two)
		for k := range one + two {
			stretch = append(stretch, t.order[(from+(one+k)%(one+two))%n])
		}
		for k, p := range stretch {
			t.order[(from+k)%n], t.pos[p] = p, (from+k)%n
		}
		t.improve([]int{t.order[(from+n-1)%n], stretch[0], stretch[two-1], stretch[two%len(stretch)], stretch[len(stretch)-1], t.order[(from+one+two)%n]})
		if length := t.length(); length < best-leastGainM {
			best = length
			copy(order, t.order)
			continue
		}
		copy(t.order, order)
		for i, p := range order {
			t.pos[p] = i
		}
	}
}

func (t *round) length() (sum float64) {
	for i, p := range t.order {
		sum += t.d(p, t.order[(i+1)%len(t.order)])
	}
	return sum
}
