package tour

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// berlin52 of TSPLIB (Reinelt 1991): its shortest round is 7542 where ways are rounded
// to whole units, 7544.366 where they are not. Coordinates and lengths from memory.
var berlin52 = []xy{{565, 575}, {25, 185}, {345, 750}, {945, 685}, {845, 655}, {880, 660}, {25, 230}, {525, 1000}, {580, 1175},
	{650, 1130}, {1605, 620}, {1220, 580}, {1465, 200}, {1530, 5}, {845, 680}, {725, 370}, {145, 665}, {415, 635}, {510, 875},
	{560, 365}, {300, 465}, {520, 585}, {480, 415}, {835, 625}, {975, 580}, {1215, 245}, {1320, 315}, {1250, 400}, {660, 180},
	{410, 250}, {420, 555}, {575, 665}, {1150, 1160}, {700, 580}, {685, 595}, {685, 610}, {770, 610}, {795, 645}, {720, 635},
	{760, 650}, {475, 960}, {95, 260}, {875, 920}, {700, 500}, {555, 815}, {830, 485}, {1170, 65}, {830, 610}, {605, 625},
	{595, 360}, {1340, 725}, {1740, 245}}

const berlin52Optimum = 7544.366

func TestAPublishedRound(t *testing.T) {
	r := of(berlin52)
	requireRound(t, r, berlin52)
	assert.GreaterOrEqual(t, r.LengthM, berlin52Optimum-0.001)
	assert.Less(t, r.LengthM, 1.02*berlin52Optimum)
	assert.LessOrEqual(t, r.AtLeastM, berlin52Optimum)
	assert.Greater(t, r.AtLeastM, 0.97*berlin52Optimum)
}

// requireRound checks that every place comes once, and the length.
func requireRound(t testing.TB, r Round, at []xy) {
	t.Helper()
	require.Len(t, r.Order, len(at))
	sorted := slices.Sorted(slices.Values(r.Order))
	length := 0.0
	for i, p := range sorted {
		require.Equal(t, i, p)
		length += at[r.Order[i]].to(at[r.Order[(i+1)%len(at)]])
	}
	require.InDelta(t, length, r.LengthM, 1e-9*(1+length))
	require.LessOrEqual(t, r.AtLeastM, r.LengthM)
	if len(at) > 0 {
		require.Zero(t, r.Order[0])
	}
}

// shortest tries all rounds.
func shortest(at []xy) float64 {
	best := math.Inf(1)
	var try func(here int, left []int, length float64)
	try = func(here int, left []int, length float64) {
		if len(left) == 0 {
			best = min(best, length+at[here].to(at[0]))
		}
		for i, p := range left {
			try(p, slices.Concat(left[:i], left[i+1:]), length+at[here].to(at[p]))
		}
	}
	var rest []int
	for i := range at[1:] {
		rest = append(rest, i+1)
	}
	try(0, rest, 0)
	return best
}

func TestAgainstAllRounds(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	worst := 1.0
	for range 60 {
		at := make([]xy, 1+r.IntN(8))
		for i := range at {
			at[i] = xy{r.Float64() * 1000, r.Float64() * 1000}
		}
		got, want := of(at), shortest(at)
		requireRound(t, got, at)
		assert.GreaterOrEqual(t, got.LengthM, want-1e-6)
		assert.LessOrEqual(t, got.AtLeastM, want+1e-6)
		if want > 0 {
			worst = max(worst, got.LengthM/want)
		}
	}
	assert.Less(t, worst, 1.02)
}

func TestManyPlaces(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for _, n := range []int{400, 5000} {
		at := make([]xy, n)
		for i := range at {
			at[i] = xy{math.Round(r.Float64() * 1000), math.Round(r.Float64() * 1000)} // some in one place
		}
		got := of(at)
		requireRound(t, got, at)
		assert.Equal(t, got, of(at))
		// Of random places the shortest round nears 0.7124·√(n·A) (Johnson, McGeoch and
		// Rothberg 1996, from memory), for few places with 0.33/n more.
		want := 0.7124 * math.Sqrt(float64(n)*1e6) * (1 + 0.33/float64(n))
		assert.InEpsilon(t, want, got.LengthM, 0.12, n)
		if n <= MostBounded {
			assert.Greater(t, got.AtLeastM, 0.9*got.LengthM)
		}
	}
}

func TestNoPlacesAndOnePlace(t *testing.T) {
	requireRound(t, of(nil), nil)
	for n := range 6 {
		at := make([]xy, n+1) // all in one place
		got := of(at)
		requireRound(t, got, at)
		assert.Zero(t, got.LengthM)
	}
}

// A degree of latitude is 111.2 km on a sphere of the mean radius; longitudes run on
// across the antimeridian.
func TestOnTheEarth(t *testing.T) {
	r := Of([]orb.Point{{179.999, 0}, {-179.999, 0}, {-179.999, 0.002}, {179.999, 0.002}})
	assert.InEpsilon(t, 8*111.195, r.LengthM, 1e-4)
	assert.InEpsilon(t, r.LengthM, r.AtLeastM, 1e-6)
}

func FuzzOf(f *testing.F) {
	f.Add([]byte{1, 2, 3, 4, 5, 6, 200, 100, 9, 9})
	f.Fuzz(func(t *testing.T, b []byte) {
		at := make([]xy, min(len(b)/2, 300))
		for i := range at {
			at[i] = xy{float64(b[2*i]), float64(b[2*i+1])}
		}
		requireRound(t, of(at), at)
	})
}

// Lots come in clumps, along streets. The steps of the bound must reach from clump to
// clump: of fixed ones, a share of the mean way, 60 left a quarter open on real lots.
func TestBoundOfClumps(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 1))
	var at []xy
	for range 20 {
		x, y := 2000*r.Float64(), 2000*r.Float64()
		for i := range 12 {
			at = append(at, xy{x + 20*float64(i/2) + r.Float64(), y + 35*float64(i%2) + r.Float64()})
		}
	}
	got := of(at)
	assert.Greater(t, got.AtLeastM, 0.95*got.LengthM)
	assert.LessOrEqual(t, got.AtLeastM, got.LengthM)
}
