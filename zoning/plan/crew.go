package plan

// crew is how many machines of each kind are brought.
type crew []int

// crews lists all crews of the machines owned, those with fewer machines first: equals
// are settled for the earlier.
func crews(kinds []kind) []crew {
	var byCount [][]crew
	var add func(k, count int, chosen crew)
	add = func(k, count int, chosen crew) {
		if k == len(kinds) {
			for len(byCount) <= count {
				byCount = append(byCount, nil)
			}
			byCount[count] = append(byCount[count], append(crew(nil), chosen...))
			return
		}
		for n := range kinds[k].owned + 1 {
			add(k+1, count+n, append(chosen, n))
		}
	}
	add(0, 0, make(crew, 0, len(kinds)))
	var all []crew
	for _, some := range byCount {
		all = append(all, some...)
	}
	return all
}

// size is how many machines a crew has.
func (k crew) size() int {
	n := 0
	for _, m := range k {
		n += m
	}
	return n
}

// moves is what bringing a crew costs, and its longest move in hours.
func (p *planner) moves(k crew) (usd, longestH float64) {
	for i, n := range k {
		if n > 0 {
			usd += float64(n) * p.v.movesUSD(i)
			longestH = max(longestH, p.kinds[i].moveH)
		}
	}
	return usd, longestH
}
