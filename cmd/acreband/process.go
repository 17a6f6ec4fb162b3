package main

import (
	"math"
	"os"
	"os/exec"
	"os/signal"
	"runtime/debug"

	"github.com/acreband/acreband/zoning/batch"
)

// processCmd is a reader or a worker of a run of lots.
type processCmd struct{}

func (processCmd) Run() error {
	// The run decides when its processes end: an interrupt of the terminal comes to
	// all of them.
	signal.Ignore(os.Interrupt)
	debug.SetGCPercent(100) // lots come by the thousand: memory is worth collecting
	debug.SetMemoryLimit(math.MaxInt64)
	return batch.Serve(os.Stdin, os.Stdout, batch.NewMapper)
}

// anotherProcess makes the command of one.
func anotherProcess() (func() *exec.Cmd, error) {
	self, err := os.Executable()
	return func() *exec.Cmd { return exec.Command(self, "process") }, err
}
