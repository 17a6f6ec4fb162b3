//go:build unix

package main

import (
	"os"
	"syscall"
)

// waited is a pipe that is waited for without a thread: one that sleeps in read holds
// the worker's only processor until the runtime notices.
func waited(f *os.File) *os.File {
	if err := syscall.SetNonblock(int(f.Fd()), true); err != nil {
		return f
	}
	return os.NewFile(f.Fd(), f.Name())
}
