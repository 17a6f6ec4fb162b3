package coverage

import (
	"math/big"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

func bigCross(a, b, c Vertex) *big.Int {
	m := func(x, y int64) *big.Int { return new(big.Int).Mul(big.NewInt(x), big.NewInt(y)) }
	return m(b.X-a.X, c.Y-a.Y).Sub(m(b.X-a.X, c.Y-a.Y), m(b.Y-a.Y, c.X-a.X))
}

func randomVertex(rng *rand.Rand, span int64) Vertex {
	return Vertex{rng.Int64N(2*span+1) - span, rng.Int64N(2*span+1) - span}
}

func TestCrossIsExact(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	for _, span := range []int64{3, 1 << 20, 1 << 31, 360e12} {
		for range 2000 {
			a, b, c := randomVertex(rng, span), randomVertex(rng, span), randomVertex(rng, span)
			want := bigCross(a, b, c)
			assert.Zero(t, want.Cmp(cross(a, b, c).big()))
			assert.Equal(t, want.Sign(), orient(a, b, c))
			f, _ := new(big.Float).SetInt(want).Float64()
			assert.InEpsilon(t, f+1e-300, cross(a, b, c).float()+1e-300, 1e-15)
		}
	}
}

// hits against the clipping of a segment to the half-open square in rationals.
func TestHitsIsTheHalfOpenPixel(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 8))
	n := 0
	for range 30000 {
		a, b, p := randomVertex(rng, 6), randomVertex(rng, 6), randomVertex(rng, 6)
		want := clipped(a, b, p)
		assert.Equal(t, want, hits(a, b, p), "%v %v %v", a, b, p)
		// The same far apart, where products pass 64 bits.
		const k = 1 << 33
		far := Vertex{a.X * k, a.Y * k}
		if want && (a == p || b == p) {
			assert.True(t, hits(far, Vertex{b.X * k, b.Y * k}, Vertex{p.X * k, p.Y * k}))
			n++
		}
	}
	assert.Greater(t, n, 10)
}

// clipped runs Liang and Barsky's clipping in rationals, with strict
// inequalities on the upper and right sides.
func clipped(a, b, p Vertex) bool {
	r := func(n, d int64) *big.Rat { return big.NewRat(n, d) }
	t0, t1 := r(0, 1), r(1, 1)
	open0, open1 := false, false // whether an end of the interval is excluded
	axis := func(a, b, p int64) bool {
		d := b - a
		lo, hi := r(2*(p-a)-1, 2), r(2*(p-a)+1, 2)
		if d == 0 {
			return lo.Sign() <= 0 && hi.Sign() > 0
		}
		lo.Quo(lo, r(d, 1))
		hi.Quo(hi, r(d, 1))
		loOpen, hiOpen := false, true
		if d < 0 {
			lo, hi, loOpen, hiOpen = hi, lo, true, false
		}
		if c := lo.Cmp(t0); c > 0 || c == 0 && loOpen {
			t0, open0 = lo, loOpen
		}
		if c := hi.Cmp(t1); c < 0 || c == 0 && hiOpen {
			t1, open1 = hi, hiOpen
		}
		return true
	}
	if !axis(a.X, b.X, p.X) || !axis(a.Y, b.Y, p.Y) {
		return false
	}
	c := t0.Cmp(t1)
	return c < 0 || c == 0 && !open0 && !open1
}

func TestCrossingRoundsExactly(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 10))
	found := 0
	for _, span := range []int64{4, 50, 1 << 34} {
		for range 5000 {
			a, b, p, q := randomVertex(rng, span), randomVertex(rng, span), randomVertex(rng, span), randomVertex(rng, span)
			at, ok := crossing(a, b, p, q)
			if !ok {
				continue
			}
			found++
			num := bigCross(a, b, p)
			den := new(big.Int).Sub(num, bigCross(a, b, q))
			for _, c := range [][3]int64{{p.X, q.X, at.X}, {p.Y, q.Y, at.Y}} {
				v := new(big.Rat).SetFrac(num, den)
				v.Mul(v, big.NewRat(c[1]-c[0], 1)).Add(v, big.NewRat(c[0], 1)).Add(v, big.NewRat(1, 2))
				floor := new(big.Int).Div(v.Num(), v.Denom())
				assert.Equal(t, floor.Int64(), c[2])
			}
		}
	}
	assert.Greater(t, found, 1000)
}
