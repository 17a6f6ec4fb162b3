package coverage

// rectangle goes round cells from one corner to another.
func rectangle(c0, r0, c1, r1 float64) [][2]float64 {
	return [][2]float64{{c0, r1}, {c1, r1}, {c1, r0}, {c0, r0}}
}
