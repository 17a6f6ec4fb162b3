package main

import (
	"fmt"
	"io"
	"runtime"
	"time"

	"github.com/acreband/acreband/slope"
	"github.com/acreband/acreband/terrain"
)

// kernelSize is the side of the grid on which the slope kernel is timed.
const kernelSize = 4000

// bytesPerCell is what the kernel has to move: a height read, a slope written.
const bytesPerCell = 4 + 4

// kernels times slope.Rows on one core next to the fastest plain loop for the
// same sum and next to copying memory.
func kernels(out io.Writer, rounds int) error {
	runtime.LockOSThread()
	defer runtime.UnlockOSThread()
	ground, z := newRelief(kernelSize), make([]float32, kernelSize*kernelSize)
	for r := range kernelSize {
		ground.row(z[r*kernelSize:(r+1)*kernelSize], r)
	}
	grid, err := terrain.NewGrid(z, kernelSize, kernelSize, 1, 1)
	if err != nil {
		return err
	}
	field := slope.NewField(grid)
	plain := make([]float32, len(z))
	const copied = 512 << 20
	from, to := make([]byte, copied), make([]byte, copied)
	for i := range from {
		from[i] = byte(i) // untouched memory is one page of zeros, quickly read
	}

	var tRows, tPlain, tCopy []time.Duration
	for round := range rounds {
		rows := timed(func() { _ = slope.Rows(grid, 0, kernelSize, field) })
		loop := timed(func() { plainHorn(plain, z, kernelSize, kernelSize) })
		moved := timed(func() { copy(to, from) })
		if round > 0 { // the first touches fresh pages
			tRows, tPlain, tCopy = append(tRows, rows), append(tPlain, loop), append(tCopy, moved)
		}
	}

	cells := float64(len(z))
	perSecond := func(n float64, d []time.Duration) float64 { return n / median(d).Seconds() }
	bandwidth := perSecond(2*copied, tCopy)
	share := 100 * bytesPerCell * perSecond(cells, tRows) / bandwidth
	fmt.Fprintf(out, "Slope kernel, %d × %d cells on one core, median of %d\n", kernelSize, kernelSize, len(tRows))
	fmt.Fprintf(out, "  slope.Rows                    %5.0f million cells a second\n", perSecond(cells, tRows)/1e6)
	fmt.Fprintf(out, "  plain loop, constant metric   %5.0f million cells a second; slope.Rows makes %.2f of it\n",
		perSecond(cells, tPlain)/1e6, ratio(tPlain, tRows))
	fmt.Fprintf(out, "  copying %d MB                %5.1f GB/s read and written; slope.Rows moves %d bytes a cell, %.0f%% of that\n",
		copied>>20, bandwidth/1e9, bytesPerCell, share)
	return nil
}

func timed(f func()) time.Duration {
	start := time.Now()
	f()
	return time.Since(start)
}

// plainHorn is the yardstick: Horn's slope squared in float64 on square cells of
// 1 m, without a branch, voids and edges left out. Like the kernel it sums each
// column of three once, which makes it half as fast again as the formula spelt
// out cell by cell.
func plainHorn(out, z []float32, cols, rows int) {
	const k = 1.0 / 64 // two gradients of an eighth
	n := cols - 2
	for r := 1; r < rows-1; r++ {
		up, mid, down := z[(r-1)*cols:], z[r*cols:], z[(r+1)*cols:]
		a, b, c := float64(up[0]), float64(mid[0]), float64(down[0])
		v0, h0 := a+2*b+c, c-a
		a, b, c = float64(up[1]), float64(mid[1]), float64(down[1])
		v1, h1 := a+2*b+c, c-a
		// Slices of one length, or the compiler checks every index.
		dst := out[r*cols+1:][:n]
		up, mid, down = up[2:][:n], mid[2:][:n], down[2:][:n]
		for i := range dst {
			a, b, c = float64(up[i]), float64(mid[i]), float64(down[i])
			v2, h2 := a+2*b+c, c-a
			p, q := v2-v0, h0+2*h1+h2
			dst[i] = float32((p*p + q*q) * k)
			v0, v1, h0, h1 = v1, v2, h1, h2
		}
	}
}
