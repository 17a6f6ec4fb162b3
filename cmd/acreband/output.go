package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
)

// writeWhole writes a file of a folder, which it makes if need be. The file
// appears whole or not at all: it is written under another name and renamed.
func writeWhole(dir, name string, write func(io.Writer) error) (err error) {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	part := filepath.Join(dir, fmt.Sprintf(".%s.%d.part", name, os.Getpid()))
	f, err := os.OpenFile(part, os.O_CREATE|os.O_TRUNC|os.O_WRONLY, 0o666)
	if err != nil {
		return err
	}
	defer func() {
		if err != nil {
			err = errors.Join(err, os.Remove(part))
		}
	}()
	if err := write(f); err != nil {
		return errors.Join(err, f.Close())
	}
	if err := f.Close(); err != nil {
		return err
	}
	return os.Rename(part, filepath.Join(dir, name))
}
