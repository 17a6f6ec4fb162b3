package coverage

import (
	"math"
	"math/big"
	"math/bits"
)

// Vertex is a spot in fixed-point degrees, longitude first. Topology is decided
// on vertices exactly, and they are what is written, so nothing can move
// between the two.
type Vertex struct{ X, Y int64 }

// wide is a signed 128-bit integer, enough for a product of two coordinate
// differences.
type wide struct {
	hi int64
	lo uint64
}

func product(a, b int64) wide {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	h := int64(hi)
	if a < 0 {
		h -= b
	}
	if b < 0 {
		h -= a
	}
	return wide{h, lo}
}

func (x wide) minus(y wide) wide {
	lo, borrow := bits.Sub64(x.lo, y.lo, 0)
	return wide{x.hi - y.hi - int64(borrow), lo}
}

func (x wide) sign() int {
	switch {
	case x.hi < 0:
		return -1
	case x.hi == 0 && x.lo == 0:
		return 0
	}
	return 1
}

// float returns x to within a relative 2⁻⁵².
func (x wide) float() float64 {
	if x.hi < 0 {
		return -wide{}.minus(x).float()
	}
	return float64(x.hi)*(1<<64) + float64(x.lo)
}

func (x wide) big() *big.Int {
	v := new(big.Int).Lsh(big.NewInt(x.hi), 64)
	return v.Add(v, new(big.Int).SetUint64(x.lo))
}

// cross is (b-a) × (c-a): positive where c lies left of the way from a to b.
func cross(a, b, c Vertex) wide {
	return product(b.X-a.X, c.Y-a.Y).minus(product(b.Y-a.Y, c.X-a.X))
}

// small bounds differences whose products, and their difference, fit an int64.
const small = 1 << 30

func isSmall(v int64) bool { return v > -small && v < small }

// orient is the sign of cross.
func orient(a, b, c Vertex) int {
	dx, dy, ex, ey := b.X-a.X, b.Y-a.Y, c.X-a.X, c.Y-a.Y
	if isSmall(dx) && isSmall(dy) && isSmall(ex) && isSmall(ey) {
		v := dx*ey - dy*ex
		switch {
		case v < 0:
			return -1
		case v > 0:
			return 1
		}
		return 0
	}
	return product(dx, ey).minus(product(dy, ex)).sign()
}

// hits reports whether segment ab passes through the pixel around p: the unit
// square centred there, its lower and left sides belonging to it and its upper
// and right sides not.
func hits(a, b, p Vertex) bool {
	if p.X < min(a.X, b.X) || p.X > max(a.X, b.X) || p.Y < min(a.Y, b.Y) || p.Y > max(a.Y, b.Y) {
		return false
	}
	// The line meets the square where twice its cross product with the centre
	// is no larger than |dx|+|dy|; equal means that it touches one corner.
	dx, dy := b.X-a.X, b.Y-a.Y
	reach := abs(dx) + abs(dy)
	if isSmall(dx) && isSmall(dy) {
		c := 2 * (dx*(p.Y-a.Y) - dy*(p.X-a.X))
		return abs(c) < reach || abs(c) == reach && c == dx-dy
	}
	c := cross(a, b, p)
	if c.hi != 0 && c.hi != -1 || (c.hi < 0) != (int64(c.lo) < 0) || abs(int64(c.lo)) > math.MaxInt64/4 {
		return false // far beyond any reach
	}
	v := 2 * int64(c.lo)
	return abs(v) < reach || abs(v) == reach && v == dx-dy
}

func abs(v int64) int64 {
	if v < 0 {
		return -v
	}
	return v
}

// crossing returns the vertex whose pixel holds the point where pq properly
// crosses ab, and whether it does: each segment's ends strictly on either side
// of the other.
func crossing(a, b, p, q Vertex) (at Vertex, ok bool) {
	if orient(a, b, p)*orient(a, b, q) >= 0 || orient(p, q, a)*orient(p, q, b) >= 0 {
		return Vertex{}, false
	}
	num := cross(a, b, p)
	den := num.minus(cross(a, b, q))
	t := num.float() / den.float()
	return Vertex{p.X + share(num, den, t, q.X-p.X), p.Y + share(num, den, t, q.Y-p.Y)}, true
}

// share rounds num/den·span, given t ≈ num/den, to the nearest integer, halves
// upward. Where float64 cannot tell which, it is decided exactly.
func share(num, den wide, t float64, span int64) int64 {
	v := t*float64(span) + 0.5
	n := math.Floor(v)
	doubt := 1e-6 + 1e-13*math.Abs(float64(span))
	if v-n > doubt && n+1-v > doubt {
		return int64(n)
	}
	n2 := new(big.Int).Mul(num.big(), big.NewInt(2*span))
	d := den.big()
	n2.Add(n2, d)
	d.Lsh(d, 1)
	if d.Sign() < 0 {
		n2.Neg(n2)
		d.Neg(d)
	}
	return new(big.Int).Div(n2, d).Int64() // Euclidean: floors, as d > 0
}
