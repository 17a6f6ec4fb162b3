package bank_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain"
	"github.com/acreband/acreband/terrain/bank"
)

const foot = 0.3048

// made is ground of square cells whose heights, each the mean of the cell, are a function of
// meters east and south, under 1 cm of noise.
func made(t testing.TB, side int, cellM float64, height func(x, y float64) float64) *terrain.Grid {
	t.Helper()
	rnd := rand.New(rand.NewPCG(4, 2))
	z := make([]float32, side*side)
	const parts = 4
	for i := range z {
		sum := 0.0
		for k := range parts * parts {
			u, v := (float64(k%parts)+0.5)/parts, (float64(k/parts)+0.5)/parts
			sum += height((float64(i%side)+u)*cellM, (float64(i/side)+v)*cellM)
		}
		z[i] = float32(sum/(parts*parts) + 0.01*rnd.NormFloat64())
	}
	g, err := terrain.NewGrid(z, side, side, cellM, cellM)
	require.NoError(t, err)
	return g
}

// find finds all banks.
func find(t testing.TB, g *terrain.Grid, o bank.Options) []bank.Bank {
	t.Helper()
	banks, err := bank.Find(t.Context(), g, o)
	require.NoError(t, err)
	return banks
}

// rolling is a slope of 15% under waves of 60 m.
func rolling(x, y float64) float64 {
	return 0.1*x + 0.11*y + 0.8*math.Sin(x/9.5)*math.Cos(y/11)
}

// across is how far a place lies beyond a line through the middle of ground, whose normal points
// some degrees south of east.
func across(x, y, sideM, degrees float64) float64 {
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	return (x-sideM/2)*cos + (y-sideM/2)*sin
}
