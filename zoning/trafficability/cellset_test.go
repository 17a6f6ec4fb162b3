package trafficability

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning"
)

// Rows of sets, of windows of every remainder of 64 columns, against the cells one by one.
func TestSetsAgainstCellsOneByOne(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 3))
	for cols := 1; cols < 200; cols += 1 + rnd.IntN(7) {
		const rows = 2
		l := &lie{cols: cols, rows: rows}
		in, values, stages := make([]bool, cols*rows), make([]float32, cols*rows), make([]uint8, cols*rows)
		share := rnd.Float64()
		for i := range in {
			in[i], values[i], stages[i] = rnd.Float64() < share, float32(rnd.IntN(4)), uint8(rnd.IntN(int(reached)+1))
			if rnd.IntN(5) == 0 {
				values[i] = float32(math.NaN())
			}
		}
		s := l.cellsOf(in)
		require.Equal(t, in, l.marked(s))
		less, steep, at := l.noCells(), l.noCells(), l.noCells()
		bytes, some := make([]uint8, cols*rows), make([]uint8, cols*rows)
		copy(some, stages)
		for r := range rows {
			below(less.row(r), values[r*cols:][:cols], 2)
			asSteep(steep.row(r), values[r*cols:][:cols], 2)
			atLeastStage(at.row(r), stages[r*cols:][:cols], across)
			writeBytes(bytes[r*cols:][:cols], s.row(r), 0xb5)
			setBytes(some[r*cols:][:cols], s.row(r), 0xb5)
			seen := make([]bool, cols*rows)
			each(s.row(r), r*cols, func(i int) { seen[i] = true })
			assert.Equal(t, in[r*cols:][:cols], seen[r*cols:][:cols])
			clear(seen)
			end := -1
			eachRun(s.row(r), func(from, to int) {
				assert.Greater(t, from, end, "a run ends where another does not begin")
				end = to
				for c := from; c < to; c++ {
					seen[r*cols+c] = true
				}
			})
			assert.Equal(t, in[r*cols:][:cols], seen[r*cols:][:cols])
		}
		for i, is := range in {
			assert.Equal(t, is, s.has(i))
			assert.Equal(t, values[i] < 2, less.has(i))
			assert.Equal(t, values[i] >= 2, steep.has(i))
			assert.Equal(t, stages[i] >= across, at.has(i))
			assert.Equal(t, map[bool]uint8{true: 0xb5}[is], bytes[i])
			assert.Equal(t, map[bool]uint8{true: 0xb5, false: stages[i]}[is], some[i])
			s.drop(i)
			require.False(t, s.has(i))
		}
		assert.Equal(t, l.noCells(), s, "nothing beyond the last column")
	}
}

// The cells of a word by the headings that they admit, of few and of all, are those one by one.
func TestHeadingsByWords(t *testing.T) {
	rnd := rand.New(rand.NewPCG(4, 3))
	for n := range 65 {
		for range 20 {
			heads := make([]uint8, n)
			for j := range heads {
				heads[j] = []uint8{0, 255, uint8(rnd.Uint32())}[rnd.IntN(3)]
				if j > 0 && rnd.IntN(9) > 0 { // like the one before, that eight may be all or none
					heads[j] = heads[j-1]
				}
			}
			var want [headings]uint64
			for j, h := range heads {
				for k := range want {
					want[k] |= uint64(h>>k&1) << j
				}
			}
			require.Equal(t, want, byHeading(heads))
		}
	}
}

// Cells alone, and a walk of all pairs, find the crests that rows of sets do, in their order.
func TestCrestsAgainstAllPairs(t *testing.T) {
	found := 0
	for seed := range uint64(12) {
		g := site(t, seed)
		g.Drive = append([]bool(nil), g.Drive...)
		for i := range g.Drive {
			g.Drive[i] = g.Drive[i] && i%g.Grid.Cols > int(7*seed)
		}
		f := faces{lie: lieOf(g.Grid), ground: g, rise: 0.2, leastM: 2, mostM: CrestFaceM}
		var want []crest
		c0, r0, c1, r1 := f.around(3)
		limit := riseSquared(20)
		for r := r0; r < r1; r++ {
			for c := c0; c < c1; c++ {
				i := r*f.cols + c
				for _, pair := range []struct {
					other  int
					within bool
				}{{i - 1, c > c0}, {i - f.cols, r > r0}} {
					if !pair.within {
						continue
					}
					a, b := pair.other, i
					if g.Field.Squared[a] >= limit {
						a, b = b, a
					}
					up, down := g.Field.Squared[a], g.Field.Squared[b]
					if !(up < limit && down >= limit) || !(g.Grid.At(a%f.cols, a/f.cols) > g.Grid.At(b%f.cols, b/f.cols)) {
						continue
					}
					if x := f.between(a, b); float64(x.faceM) >= 2 {
						want = append(want, x)
					}
				}
			}
		}
		assert.Equal(t, want, f.crests(3), "seed %d", seed)
		found += len(want)
	}
	assert.Greater(t, found, 100)
}

// A place is where the machine stands and one heading serves on all ground around its middle
// that is nearer than half its diagonal, none of it beyond the window: asked cell by cell.
func TestPlacesAgainstTheirDiscs(t *testing.T) {
	some, places := 0, 0
	for seed := range uint64(10) {
		g := site(t, seed)
		g.LineM, g.Crests = nil, new(Crests)
		m := siteFleet()[1]
		m.Swing, m.EdgePct = zoning.Limits{AlongPct: 25, CrossPct: 12}, 1000
		p := moverOn(g, m)
		p.find()
		got := p.places()
		cross, d := riseSquared(m.Standing().CrossPct), p.turnM()
		for i := range g.Lots {
			if !p.stands.has(i) {
				require.False(t, got.has(i))
				continue
			}
			all := uint8(math.MaxUint8)
			c, r := i%g.Grid.Cols, i/g.Grid.Cols
			reach := int(d/p.lie.shortM) + 1
			for v := -reach; v <= reach; v++ {
				for u := -reach; u <= reach; u++ {
					if p.lie.distM(u, v) >= d*(1-1e-9) {
						continue
					}
					x, y := c+u, r+v
					if x < 0 || y < 0 || x >= g.Grid.Cols || y >= g.Grid.Rows {
						all = 0
						continue
					}
					j := y*g.Grid.Cols + x
					if !p.scratch.open.has(j) || !g.Drive[j] || g.Field.Squared[j] >= riseSquared(m.Standing().AlongPct) {
						all = 0
						continue
					}
					all &= p.headingsAt(j, cross)
				}
			}
			require.Equal(t, all != 0, got.has(i), "seed %d, cell %d", seed, i)
			places += int(bit(all != 0))
			some += int(bit(all != 0 && all != math.MaxUint8))
		}
	}
	assert.Greater(t, some, 100, "held to some headings")
	assert.Greater(t, places, some)
}

// Where only acres are asked for, no machine works other ground.
func TestAcresAloneAreThoseOfReasons(t *testing.T) {
	for seed := range uint64(8) {
		g := site(t, seed)
		whole := must(Find(context.Background(), g, siteFleet()))
		g.AcresOnly = true
		acres := must(Find(context.Background(), g, siteFleet()))
		assert.Equal(t, whole.Masks, acres.Masks)
		for k := range acres.Why {
			assert.Nil(t, acres.Why[k])
			assert.Nil(t, acres.Stands[k])
			for i, why := range whole.Why[k] {
				require.Equal(t, why == zoning.Works, whole.Masks[i]>>k&1 == 1 && whole.Masks[i]&zoning.NoGo == 0, "cell %d", i)
			}
		}
	}
}
