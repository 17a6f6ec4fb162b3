package tour

// leastGainM is a gain that rounding does not make: without it two equal rounds might
// be exchanged for ever.
const leastGainM = 1e-6

// longestMoved is how many places in a row are moved elsewhere together.
const longestMoved = 3

// improve turns and moves from the waiting places until nothing helps. A place is
// looked at again when a way that meets it has changed.
func (t *round) improve(waiting []int) {
	queued := make([]bool, len(t.order))
	for _, p := range waiting {
		queued[p] = true
	}
	for len(waiting) > 0 {
		p := waiting[0]
		waiting = waiting[1:]
		queued[p] = false
		for {
			changed := t.better(p)
			if changed == nil {
				break
			}
			for _, q := range changed {
				if !queued[q] {
					queued[q] = true
					waiting = append(waiting, q)
				}
			}
		}
	}
}

// better makes one improvement at a place and lists the places whose ways it changed;
// nil where there is none.
func (t *round) better(p int) []int {
	for _, back := range []bool{false, true} {
		if changed := t.betterTurn(p, back); changed != nil {
			return changed
		}
		if changed := t.betterMove(p, back); changed != nil {
			return changed
		}
	}
	return nil
}

func (t *round) betterTurn(a int, back bool) []int {
	b := t.beside(a, back)
	ab := t.d(a, b)
	for _, c := range t.near[a] {
		ac := t.d(a, c)
		if ac >= ab {
			return nil
		}
		d := t.beside(c, back)
		if c == b || d == a {
			continue
		}
		if ab+t.d(c, d)-ac-t.d(b, d) > leastGainM {
			t.turn(a, b, c, d)
			return []int{a, b, c, d}
		}
	}
	return nil
}

// betterMove moves the stretch that begins at first elsewhere, that end beside a near
// place.
func (t *round) betterMove(first int, back bool) []int {
	before := t.beside(first, !back)
	last := first
	moved := []int{first}
	for range longestMoved {
		after := t.beside(last, back)
		if after == before {
			return nil
		}
		taken := t.d(before, first) + t.d(last, after) - t.d(before, after)
		for _, c := range t.near[first] {
			if t.d(first, c) >= taken {
				break
			}
			if in(moved, c) {
				continue
			}
			for _, beyond := range []bool{false, true} {
				// The stretch comes between c and d, its first place beside c.
				d := t.beside(c, back != beyond)
				if in(moved, d) || c == before && d == after || c == after && d == before {
					continue
				}
				if taken-t.d(c, first)-t.d(last, d)+t.d(c, d) <= leastGainM {
					continue
				}
				if t.move(before, first, last, after, c, d, beyond) {
					return []int{before, first, last, after, c, d}
				}
			}
		}
		last = after
		moved = append(moved, last)
	}
	return nil
}

func in(list []int, p int) bool {
	for _, q := range list {
		if q == p {
			return true
		}
	}
	return false
}

// move puts the stretch from first to last between c and d, first beside c. Seen the
// way that the stretch runs, d follows c, or c follows d where it is beyond.
func (t *round) move(before, first, last, after, c, d int, beyond bool) bool {
	x, y := c, d // in that order
	if beyond {
		x, y = d, c
	}
	if y == before {
		return false // found again from the other side
	}
	// before first..last after...x y: turned, it is before x...after last..first y,
	if x != before {
		t.turn(before, first, x, y)
		if after != x {
			t.turn(before, x, after, last) // before after...x last..first y
		}
	}
	if !beyond {
		t.turn(x, last, first, y) // before after...x first..last y
	}
	return true
}
