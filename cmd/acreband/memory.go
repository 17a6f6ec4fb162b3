package main

import (
	"math"
	"runtime/debug"
)

// Cells of elevation above which a job's memory is worth collecting, and above
// which it is worth collecting hard: 10 000 acres at 1 m are 41 million cells and
// need some 700 MB by slope alone, 1.5 GiB with all rules.
const (
	smallJob = 1 << 20
	largeJob = 1 << 23
)

// smallJobBytes is how much memory a small job may use before it is collected.
const smallJobBytes = 192 << 20

// collectLate puts collecting off: most runs are short and their memory modest,
// and not collecting it at all takes a seventh off their time.
func collectLate() {
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(smallJobBytes)
}

// collectFor sets how often memory is collected for a job of so many cells.
func collectFor(cells int) {
	if cells <= smallJob {
		return
	}
	percent := 100
	if cells > largeJob {
		percent = 5 // in a few large slices without pointers, quickly walked
		giveBackMemory()
	}
	debug.SetGCPercent(percent)
	debug.SetMemoryLimit(math.MaxInt64)
}

// collectSteadily keeps memory low in work that goes on and on.
func collectSteadily() { collectAt(50) }

// collectOften keeps it lower where most of it is kept, and what is to collect is little.
func collectOften() { collectAt(20) }

func collectAt(percent int) {
	debug.SetGCPercent(percent)
	debug.SetMemoryLimit(math.MaxInt64)
}
