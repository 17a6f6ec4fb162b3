package quality

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Of 8,192 cells and more every second row and column is asked how steep it is, of fewer
// all: one column in four is steep, and all of those are odd.
func TestSteepnessOfManyCellsIsSampled(t *testing.T) {
	var slopes []float64
	for c := range 130 {
		slopes = append(slopes, 0.1+over(c%4 == 1))
	}
	for rows, share := range map[int]float64{63: 0.25, 64: 0.5} {
		g := slopingColumns(t, rows, 2, slopes)
		for name, f := range map[string]func() (steepness, bool){
			"along": func() (steepness, bool) { return findFeet(g) },
			"down":  func() (steepness, bool) { return findFeet(transposed(t, g)) },
		} {
			got, found := f()
			require.True(t, found, name)
			assert.InDelta(t, share, got.Over100, 1e-9, "%s, %d cells", name, 130*rows)
		}
	}
}

// The middle of an even number is the upper one of two: of ground half of which is above
// 70% it is above.
func TestHalfOfTheGroundAboveIsEnough(t *testing.T) {
	_, found := findFeet(slopingColumns(t, 12, 2, columns(50, 0.71, 50, 0.1)))
	assert.True(t, found)
	_, found = findFeet(slopingColumns(t, 12, 2, columns(49, 0.71, 50, 0.1)))
	assert.False(t, found)
}

// Of nearly two million cells every second row is looked at for bumps, of fewer all: of
// every seven rows one is a ridge, so that seven in turn tell one share only.
func TestEveryRowIsLookedAtBelowTwoMillionCells(t *testing.T) {
	s, _ := findSurface(gridOf(t, 7, 299593, 1, func(_, r int) float64 { return 100 + over(r%7 == 1) }), Stairs{}, false, nil)
	assert.InDelta(t, 1.0/7, s.Share, 1e-5)
}

// Of two million cells every second row is looked at for rims, of fewer all: the first
// cell of each row has the value asked for, and beside it even rows rise by 1 m, odd ones by 3 m.
func TestRimsOfManyCellsAreSampled(t *testing.T) {
	for rows, want := range map[int]float64{262142: 3, 262144: 1} {
		g := gridOf(t, 8, rows, 1, func(c, r int) float64 {
			if c == 0 {
				return 100
			}
			return 101 + 2*over(r%2 == 1)
		})
		assert.Equal(t, want, rimStep(g, 0), "%d rows: the upper of two halves, or even rows alone", rows)
	}
}

// Of 131,072 cells every second row is looked at for stairs, from the second one on.
func TestStairsOfManyCellsAreSampled(t *testing.T) {
	diffs, _, _ := neighbourSteps(gridOf(t, 512, 256, 1, func(c, r int) float64 { return 100 + float64(c%4)*(1+2*over(r%2 == 0)) }), nil)
	require.Len(t, diffs, 128*511)
	for _, d := range diffs {
		if d != 1 && d != 3 {
			t.Fatalf("a step of %g m on an even row", d)
		}
	}
	first, _, _ := neighbourSteps(gridOf(t, 512, 256, 1, func(c, r int) float64 { return 100 + float64(c%4)*over(r == 1) }), nil)
	assert.Len(t, first, 511, "the second row is looked at")
}

// A difference that is no multiple is no sort of step either.
func TestMisfitsAreNoSort(t *testing.T) {
	diffs := append(repeated(99, 1), 3.3737)
	sorts, ok := multiples(diffs, 1)
	assert.True(t, ok)
	assert.Equal(t, 1, sorts)
}
