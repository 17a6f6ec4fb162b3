//go:build unix

package lots

import (
	"os"
	"syscall"
)

// canLock reports whether lock keeps others out.
const canLock = true

// lock takes a file for this process until it closes it, unlocks it or dies.
func lock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) }

func unlock(f *os.File) error { return syscall.Flock(int(f.Fd()), syscall.LOCK_UN) }
