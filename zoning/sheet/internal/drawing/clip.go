package drawing

// ClipLine is what of a line lies in a box, in pieces (Liang and Barsky 1984, A
// new concept and method for line clipping, ACM TOG 3:1).
func ClipLine(line []Point, box Box) [][]Point {
	var out [][]Point
	var piece []Point
	for i := 1; i < len(line); i++ {
		a, b, inside := clipEdge(line[i-1], line[i], box)
		if !inside {
			continue
		}
		if len(piece) == 0 || piece[len(piece)-1] != a {
			if len(piece) > 1 {
				out = append(out, piece)
			}
			piece = []Point{a}
		}
		piece = append(piece, b)
	}
	if len(piece) > 1 {
		out = append(out, piece)
	}
	return out
}

func clipEdge(a, b Point, box Box) (from, to Point, inside bool) {
	dx, dy := b.X-a.X, b.Y-a.Y
	t0, t1 := 0.0, 1.0
	for _, side := range [4][2]float64{{-dx, a.X - box.Left}, {dx, box.Right - a.X}, {-dy, a.Y - box.Top}, {dy, box.Bottom - a.Y}} {
		p, q := side[0], side[1]
		switch {
		case p == 0:
			if q < 0 {
				return a, b, false
			}
		case p < 0:
			t0 = max(t0, q/p)
		default:
			t1 = min(t1, q/p)
		}
	}
	if t0 > t1 {
		return a, b, false
	}
	from, to = a, b
	if t0 > 0 {
		from = Point{a.X + t0*dx, a.Y + t0*dy}
	}
	if t1 < 1 {
		to = Point{a.X + t1*dx, a.Y + t1*dy}
	}
	return from, to, true
}
