package drawing

import "math"

// dashes cuts a line into the pieces that are drawn.
func dashes(line []Point, pattern []float64) [][]Point {
	whole := 0.0
	for _, d := range pattern {
		whole += d
	}
	if !(whole > 0) || len(line) < 2 {
		return [][]Point{line}
	}
	var out [][]Point
	var piece []Point
	k, left, on := 0, pattern[0], true
	for i := 1; i < len(line); i++ {
		a, b := line[i-1], line[i]
		long := math.Hypot(b.X-a.X, b.Y-a.Y)
		done := 0.0
		for done < long {
			step := min(left, long-done)
			if on {
				if len(piece) == 0 {
					piece = []Point{along(a, b, done/long)}
				}
				piece = append(piece, along(a, b, (done+step)/long))
			}
			done, left = done+step, left-step
			if left <= 0 {
				if on {
					out, piece = append(out, piece), nil
				}
				k = (k + 1) % len(pattern)
				left, on = pattern[k], !on
			}
		}
	}
	if len(piece) > 1 {
		out = append(out, piece)
	}
	return out
}

func along(a, b Point, t float64) Point { return Point{a.X + t*(b.X-a.X), a.Y + t*(b.Y-a.Y)} }

const mostCorners = 24

// corners is how many corners a disc is drawn with, by its radius in pixels.
func corners(radius float64) int { return max(4, min(mostCorners, int(6*math.Sqrt(radius)))) }

// outline adds rings, all wound alike, that cover a line drawn half its width to
// either side: a box for each edge and a disc at each point.
func outline(line []Point, half, scale float64, add func(...Point)) {
	corners := corners(half * scale)
	var rim, disc [mostCorners]Point
	for k := range rim[:corners] {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(corners))
		rim[k] = Point{half * cos, half * sin}
	}
	for i, p := range line {
		for k, away := range rim[:corners] {
			disc[k] = Point{p.X + away.X, p.Y + away.Y}
		}
		add(disc[:corners]...)
		if i == 0 {
			continue
		}
		a := line[i-1]
		long := math.Hypot(p.X-a.X, p.Y-a.Y)
		if long == 0 {
			continue
		}
		u, v := (p.X-a.X)/long*half, (p.Y-a.Y)/long*half
		add(Point{a.X + v, a.Y - u}, Point{p.X + v, p.Y - u}, Point{p.X - v, p.Y + u}, Point{a.X - v, a.Y + u})
	}
}
