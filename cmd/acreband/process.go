package main

import (
	"os"
	"os/exec"
	"os/signal"

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

// anotherProcess makes the command of one.
func anotherProcess() (func() *exec.Cmd, error) {
	self, err := os.Executable()
	return func() *exec.Cmd { return exec.Command(self, "process") }, err
}
