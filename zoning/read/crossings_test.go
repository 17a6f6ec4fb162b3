package read

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// wkt writes a ring as the tests' polygons have it.
func wkt(ring orb.Ring) string {
	corners := make([]string, len(ring))
	for i, p := range ring {
		corners[i] = fmt.Sprintf("%.7f %.7f", p[0], p[1])
	}
	return strings.Join(corners, ", ")
}

// A ring of corners out of order, 30 kB of it, took 1.6 GB and 42 s: its edges cross some
// 200,000 times, and each crossing was made a corner before anything was refused.
func TestATangleIsCountedBeforeItIsRepaired(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	ring := orb.Ring{}
	for range 1400 {
		ring = append(ring, orb.Point{-84.2 + 0.05*r.Float64(), 36.3 + 0.05*r.Float64()})
	}
	ring = append(ring, ring[0])
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	lot := readShape(t, polygon(wkt(ring)))
	runtime.ReadMemStats(&after)
	require.ErrorContains(t, lot.Err, "lot.geojson: lot 1: its boundary crosses or touches itself more than 2000 times, first near ")
	assert.Equal(t, 3, strings.Count(lot.Err.Error(), "near "), lot.Err)
	assert.Less(t, after.TotalAlloc-before.TotalAlloc, uint64(8<<20))
}

// Edges that run side by side are held against each other, each against each, though
// only two of them cross.
func TestEdgesSideBySideAreCountedToo(t *testing.T) {
	ring := orb.Ring{{-0.001, 0}}
	const teeth = 6000
	for i := range teeth {
		x := 1e-7 * float64(i)
		ring = append(ring, orb.Point{x + 0.001, 0.001}, orb.Point{x + 5e-8, 0.0001})
	}
	ring = append(ring, orb.Point{0.002, 0}, orb.Point{0.002, -0.001}, orb.Point{-0.001, 0.0005}, ring[0])
	err := checkCrossings(orb.MultiPolygon{{ring}})
	require.ErrorContains(t, err, "too many of its 12004 edges lie close together to be repaired")
}

func TestCrossingsAreFound(t *testing.T) {
	at := func(ring orb.Ring) (n int) {
		for i := 1; i < len(ring); i++ {
			for k := i + 1; k < len(ring); k++ {
				if meet([2]orb.Point{ring[i-1], ring[i]}, [2]orb.Point{ring[k-1], ring[k]}) {
					n++
				}
			}
		}
		return n
	}
	assert.Equal(t, 0, at(orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0, 1}, {0, 0}}))
	assert.Equal(t, 1, at(orb.Ring{{0, 0}, {1, 1}, {1, 0}, {0, 1}, {0, 0}}), "a bow-tie")
	assert.Equal(t, 2, at(orb.Ring{{0, 0}, {1, 0}, {1, 1}, {0.5, 0}, {0, 1}, {0, 0}}), "a corner on an edge, of two edges")
	p := meeting([2]orb.Point{{0, 0}, {1, 1}}, [2]orb.Point{{1, 0}, {0, 1}})
	assert.InDelta(t, 0.5, p[0], 1e-12)
	assert.InDelta(t, 0.5, p[1], 1e-12)
}

// What is repaired today stays so: a few hundred crossings are slips of a receiver.
func TestAFewHundredCrossingsAreRepaired(t *testing.T) {
	ring := orb.Ring{}
	const n = 400
	for i := range n {
		a := 2 * math.Pi * float64(i) / n
		x, y := math.Cos(a), math.Sin(a)
		// Forth and back along the circle, a little to the side: a loop at every corner.
		ring = append(ring, orb.Point{-84 + 1e-3*x, 36 + 1e-3*y}, orb.Point{-84 + 1e-3*(x-0.02*y), 36 + 1e-3*(y+0.02*x)},
			orb.Point{-84 + 1.0005e-3*(x-0.01*y), 36 + 1.0005e-3*(y+0.01*x)})
	}
	ring = append(ring, ring[0])
	require.NoError(t, checkCrossings(orb.MultiPolygon{{ring}}))
}
