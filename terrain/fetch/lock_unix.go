//go:build unix

package fetch

import (
	"os"
	"syscall"
)

// lock takes a file for this process until it closes it or dies.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }
