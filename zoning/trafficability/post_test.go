package trafficability

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// lane is two fields, 60 rows long, between which a wall has one gap of 12 columns, and a post
// across the gap; it is unloaded in the first.
func lane(t *testing.T, p Post) *Ground {
	g := level(t, 40, 60, 1).closed(func(c, r int) bool { return r == 30 && (c < 14 || c >= 26) }).unloads([2]int{20, 10})
	for c := 14; c < 26; c++ {
		p.Cells = append(p.Cells, 30*40+c)
	}
	g.Posts = []Post{p}
	return g
}

// By hand: a bridge holds a machine by its own weight, a gate by its own width and height; one
// whose figure nobody knows does not pass, but for a width, and one at the very posting does.
func TestPostsHoldMachinesByTheirOwnFigures(t *testing.T) {
	m := loader
	m.WidthM, m.WeightKg, m.HeightM = 2, 6000, 2.5
	unknown := loader
	unknown.WidthM, unknown.WeightKg, unknown.HeightM = 0, 0, 0
	far := 50*40 + 20
	for _, c := range []struct {
		post   Post
		passes bool
		as     zoning.Machine
	}{
		{Post{}, true, m}, {Post{WeightKg: 6000}, true, m}, {Post{WeightKg: 5999}, false, m},
		{Post{WidthM: 2}, true, m}, {Post{WidthM: 1.99}, false, m}, {Post{HeightM: 2.5}, true, m}, {Post{HeightM: 2.4}, false, m},
		{Post{WeightKg: 1e6}, false, unknown}, {Post{HeightM: 100}, false, unknown}, {Post{WidthM: 1}, true, unknown},
	} {
		w := find(lane(t, c.post), c.as)
		want := zoning.NoWayIn
		if c.passes {
			want = zoning.Works
		}
		assert.Equal(t, want, w.Why[0][far], "%+v", c.post)
		assert.Equal(t, !c.passes, w.Why[0][30*40+20] == zoning.OverPosting, "%+v", c.post)
		assert.Equal(t, zoning.Works, w.Why[0][15*40+20], "before it")
	}
}

// A machine begins where its load gets to only, and is unloaded once for each piece of ground.
func TestMachinesAreUnloadedWhereTheirLoadsGet(t *testing.T) {
	g := level(t, 40, 60, 1).closed(func(_, r int) bool { return r == 30 }).unloads([2]int{20, 10}, [2]int{20, 15}, [2]int{20, 50})
	w := find(g, loader, crawler)
	assert.Equal(t, []int{0, 2}, w.Unloads[0], "the second is on the ground of the first")
	assert.Empty(t, w.Pockets[0])
	g.Unloads = []zoning.Mask{0b10, 0b11, 0b10}
	w = find(g, loader, crawler)
	assert.Equal(t, []int{1}, w.Unloads[0])
	assert.Equal(t, []int{0, 2}, w.Unloads[1])
	assert.Equal(t, zoning.NoWayIn, w.Why[0][50*40+20])
	assert.Equal(t, zoning.Works, w.Why[1][50*40+20])
	require.Len(t, w.Pockets[0], 1)
	assert.Equal(t, uint16(1), w.Pieces[0].At(50*40+20))
	assert.Zero(t, w.Pieces[0].At(10*40+20), "it gets there")
	g.Unloads = g.Unloads[:2]
	_, err := Find(context.Background(), g, []zoning.Machine{loader})
	assert.ErrorContains(t, err, "there are 2 Unloads for 3 places")
}

// A heavier posting, a wider or higher gate and one more place to unload never lose ground.
func TestLaxerPostsNeverLoseGround(t *testing.T) {
	machines := siteFleet()
	for i := range machines {
		machines[i].WeightKg, machines[i].HeightM = 4000+4000*float64(i), 2+float64(i)
		machines[i].PatchAcres = 0 // a patch joins what a path splits
	}
	for seed := uint64(1); seed < 14; seed++ {
		rnd := rand.New(rand.NewPCG(seed, 3))
		g := site(t, seed)
		if g.Staging == nil {
			g.unloads([2]int{rnd.IntN(100), rnd.IntN(80)}, [2]int{rnd.IntN(100), rnd.IntN(80)})
		}
		all := zoning.Mask(1<<len(machines) - 1)
		for range g.Staging {
			g.Unloads = append(g.Unloads, zoning.Mask(rnd.IntN(1<<len(machines))))
		}
		for range 3 {
			p := Post{WeightKg: 3000 + 12000*rnd.Float64(), WidthM: 1 + 3*rnd.Float64(), HeightM: 1 + 5*rnd.Float64()}
			c, r := rnd.IntN(90), rnd.IntN(75)
			for i := range 300 {
				p.Cells = append(p.Cells, (r+i%5)*100+(c+i/5)%100)
			}
			g.Posts = append(g.Posts, p)
		}
		was := must(Find(context.Background(), g, machines)).Masks
		holds := func(what string, laxer *Ground) {
			for i, mask := range must(Find(context.Background(), laxer, machines)).Masks {
				require.Equal(t, mask, mask|was[i], "seed %d, %s, cell %d", seed, what, i)
			}
		}
		lax := *g
		lax.Posts = append([]Post(nil), g.Posts...)
		n := rnd.IntN(3)
		lax.Posts[n].WeightKg, lax.Posts[n].WidthM, lax.Posts[n].HeightM = 1.3*lax.Posts[n].WeightKg, 1.3*lax.Posts[n].WidthM, 1.3*lax.Posts[n].HeightM
		holds("a laxer post", &lax)
		more := *g
		more.Staging = append(append([][]int(nil), g.Staging...), []int{rnd.IntN(8000)})
		more.Unloads = append(append([]zoning.Mask(nil), g.Unloads...), all)
		holds("one more place", &more)
		road := *g
		road.Unloads = append([]zoning.Mask(nil), g.Unloads...)
		road.Unloads[0] = all
		holds("a laxer road", &road)
	}
}
