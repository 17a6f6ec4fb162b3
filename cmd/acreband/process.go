package main

import (
	"os"
	"os/exec"
	"os/signal"

	"github.com/acreband/acreband/cmd/acreband/internal/page"
	"github.com/acreband/acreband/zoning/lots"
)

// processCmd is a reader or a worker of a run of lots.
type processCmd struct{}

func (processCmd) Run() error {
	// The run decides when its processes end: an interrupt of the terminal comes to
	// all of them.
	signal.Ignore(os.Interrupt)
	collectSteadily()
	return lots.Serve(waited(os.Stdin), os.Stdout, lots.NewMapper)
}

// anotherProcess makes the command of one.
func anotherProcess() (func() *exec.Cmd, error) {
	self, err := os.Executable()
	return func() *exec.Cmd { return exec.Command(self, "process") }, err
}

// readerCmd reads one upload for the page.
type readerCmd struct{}

func (readerCmd) Run() error {
	signal.Ignore(os.Interrupt)
	collectSteadily()
	onPage.Store(true)
	return page.ServeReader(os.Stdin, os.Stdout)
}

// anotherReader makes the command of one.
func anotherReader() (func() *exec.Cmd, error) {
	self, err := os.Executable()
	return func() *exec.Cmd { return exec.Command(self, "reader") }, err
}
