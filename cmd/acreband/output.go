package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"sync"
	"syscall"
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

// writeTogether writes the files of a run, at once. They appear whole and
// together or not at all: each is written under another name, and all are
// renamed when the last is whole. An interrupt takes what was begun away.
func writeTogether(dir string, files []output) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return fmt.Errorf("--out %s cannot be made; name another folder: %w", dir, err)
	}
	parts := make([]string, len(files))
	for i, f := range files {
		parts[i] = filepath.Join(dir, fmt.Sprintf(".%s.%d.part", f.name, os.Getpid()))
	}
	interrupt := make(chan os.Signal, 1)
	signal.Notify(interrupt, os.Interrupt, syscall.SIGTERM)
	defer signal.Stop(interrupt)
	done := make(chan struct{})
	defer close(done)
	go func() {
		select {
		case <-interrupt:
			removeAll(parts)
			os.Exit(exitOther)
		case <-done:
		}
	}()

	errs := make([]error, len(files))
	var writing sync.WaitGroup
	for i, f := range files {
		writing.Go(func() { errs[i] = writePart(parts[i], f.write) })
	}
	writing.Wait()
	if err := errors.Join(errs...); err != nil {
		removeAll(parts)
		return fmt.Errorf("--out %s was left as it was: %w", dir, err)
	}
	for i, f := range files {
		if err := os.Rename(parts[i], filepath.Join(dir, f.name)); err != nil {
			removeAll(parts[i:])
			return err
		}
	}
	return nil
}

func writePart(name string, write func(io.Writer) error) error {
	f, err := os.OpenFile(name, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	return errors.Join(write(f), f.Close())
}

// removeAll takes away parts that may or may not have been begun.
func removeAll(parts []string) {
	for _, p := range parts {
		_ = os.Remove(p)
	}
}
