package trafficability

// reachFrom gets from cells to all that they lead to, and counts the water lines to be crossed on
// the way with fewest.
func (f *flood) reachFrom(seeds []int) {
	for _, i := range seeds {
		f.arrive(i)
	}
	for crossed := 0; len(f.news) > 0; crossed++ {
		f.spread()
		if f.crossings != nil {
			for _, n := range f.news {
				setBytes(f.crossings[f.firstCell(n.at):], []uint64{n.cells}, uint8(min(crossed, Unreached-1)))
			}
		}
		f.news = f.news[:0]
		f.wade()
	}
	for r := range f.lie.rows {
		setBytes(f.stages(r), f.got.row(r), reached)
	}
}

// wade gets to the cells that are left and to which only moves into water lead.
func (f *flood) wade() {
	for at, cells := range f.waded.words {
		if cells != 0 {
			f.waded.words[at] = 0
			if cells &= f.left.words[at]; cells != 0 {
				f.get(at, cells, true)
			}
		}
	}
}
