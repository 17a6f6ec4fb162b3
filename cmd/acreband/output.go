package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"sync"
	"syscall"

	"github.com/acreband/acreband/zoning/write"
)

// output is a file to be written.
type output struct {
	name  string
	write func(io.Writer) error
}

// checkFolder refuses what cannot be a folder, before the work rather than after.
func checkFolder(dir string) error {
	if dir == "" {
		return errors.New("--out is empty; name a folder, or - for standard output")
	}
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return fmt.Errorf("--out %s is a file; name a folder", dir)
	}
	return nil
}

// writeTogether writes the files of a run, at once. They appear whole and together or not
// at all. An interrupt takes what was begun away.
func writeTogether(dir string, files []output) error {
	parts, err := write.Begin(dir)
	if err != nil {
		return fmt.Errorf("--out: nothing can be written there; name another folder: %w", err)
	}
	defer parts.Discard()
	defer discardOnInterrupt(parts)()
	errs := make([]error, len(files))
	var writing sync.WaitGroup
	for i, f := range files {
		writing.Go(func() { errs[i] = parts.Write(f.name, f.write) })
	}
	writing.Wait()
	if err = errors.Join(errs...); err == nil {
		err = parts.Commit()
	}
	for _, e := range errs {
		if errors.Is(e, syscall.ENOSPC) {
			err = e // the others say the same
		}
	}
	switch {
	case errors.Is(err, write.ErrPartly):
		return fmt.Errorf("--out %s: %w", dir, err)
	case err != nil:
		return fmt.Errorf("--out %s was left as it was: %w", dir, err)
	}
	return nil
}

// discardOnInterrupt gives files up and ends the program at an interrupt, until done is
// called. One that comes while they are given their names waits for that.
func discardOnInterrupt(parts *write.Files) (done func()) {
	interrupt := make(chan os.Signal, 1)
	signal.Notify(interrupt, os.Interrupt, syscall.SIGTERM)
	over := make(chan struct{})
	go func() {
		select {
		case <-interrupt:
			parts.Discard()
			os.Exit(exitOther)
		case <-over:
		}
	}()
	return func() {
		signal.Stop(interrupt)
		close(over)
	}
}
