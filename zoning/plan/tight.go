package plan

import "math"

// findTight finds the areas that may take longer than the machines do: those that, worked
// by their slowest, take longer than all the work by its fastest shared by all machines.
// Within limits, where much may be left, all may.
func (b *bidder) findTight() {
	slowest, least, machines := make([]float64, len(b.areas.room)), 0.0, 0
	for _, k := range b.kinds {
		machines += k.owned
	}
	for _, l := range b.lumps {
		shortest, in := math.Inf(1), map[int]float64{}
		for _, w := range l.ways {
			shortest = min(shortest, w.hours)
			for _, h := range w.in {
				in[h.area] = max(in[h.area], h.hours)
			}
		}
		if len(l.ways) > 0 {
			least += shortest
		}
		for a, h := range in {
			slowest[a] += h
		}
	}
	for a, h := range slowest {
		if h > 0 && (!b.limits.none() || h/b.areas.room[a] > least/float64(max(1, machines))) {
			b.tight = append(b.tight, a)
		}
	}
}
