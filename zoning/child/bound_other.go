//go:build !linux

package child

import "runtime/debug"

// Bound has Go's collector keep the heap of this process within half of memory bytes where it
// can. What C code takes, and the size of files, are not bounded on this system.
func Bound(memory, file int64) error {
	debug.SetMemoryLimit(memory / 2)
	return nil
}
