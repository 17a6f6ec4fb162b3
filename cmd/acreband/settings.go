package main

import (
	"crypto/sha256"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/zoning/resume"
)

// settingsOf lists the flags that results depend on: all but those known not to
// matter, so that one added later counts. Of a flag that names a file, what is in it
// counts.
func settingsOf(flags []*kong.Flag, but []string) (resume.Inputs, error) {
	var out resume.Inputs
	for _, f := range flags {
		if slices.Contains(but, f.Name) {
			continue
		}
		i := resume.Input{Name: "--" + f.Name, Value: fmt.Sprintf("%q", fmt.Sprint(f.Target.Interface()))}
		var paths []string
		switch v := f.Target.Interface().(type) {
		case string:
			paths = []string{v}
		case []string:
			paths = v
		}
		var digests []string
		for _, path := range paths {
			digest, err := digestOf(path)
			if err != nil {
				return nil, fmt.Errorf("--%s: %w", f.Name, err)
			}
			if digest != "" {
				digests = append(digests, digest)
			}
		}
		if len(digests) > 0 && len(digests) == len(paths) {
			i.Value = strings.Join(digests, ", ")
		}
		out = append(out, i)
	}
	return out, nil
}

// digestOf is a digest of what is in a file; "" where a text names none.
func digestOf(path string) (string, error) {
	info, err := os.Stat(path)
	if path == "" || err != nil || !info.Mode().IsRegular() {
		return "", nil
	}
	f, err := os.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	digest := sha256.New()
	if _, err := io.Copy(digest, f); err != nil {
		return "", err
	}
	return fmt.Sprintf("a file, digest %x", digest.Sum(nil))[:32], nil
}
