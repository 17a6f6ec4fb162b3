package main

import (
	"os"
	"os/exec"
	"os/signal"
	"syscall"

	"github.com/acreband/acreband/zoning/batch"
)

// processCmd is a reader or a worker of a run of lots.
type processCmd struct{}

func (processCmd) Run() error {
	// The run decides when its processes end: an interrupt of the terminal comes to
	// all of them.
	signal.Ignore(os.Interrupt)
	collectSteadily()
	return batch.Serve(waited(os.Stdin), os.Stdout, batch.NewMapper)
}

// waited is a pipe that is waited for without a thread: one that sleeps in read holds
// the worker's only processor until the runtime notices.
func waited(f *os.File) *os.File {
	if err := syscall.SetNonblock(int(f.Fd()), true); err != nil {
		return f
	}
	return os.NewFile(f.Fd(), f.Name())
}

// anotherProcess makes the command of one.
func anotherProcess() (func() *exec.Cmd, error) {
	self, err := os.Executable()
	return func() *exec.Cmd { return exec.Command(self, "process") }, err
}
