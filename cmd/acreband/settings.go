package main

import (
	"crypto/sha256"
	"fmt"
	"os"
	"slices"

	"github.com/alecthomas/kong"

	"github.com/acreband/acreband/zoning/batch"
)

// settingsOf lists the flags that results depend on: all but those known not to
// matter, so that one added later counts. Of a flag that names a file, what is in it
// counts.
func settingsOf(flags []*kong.Flag, but []string) (batch.Inputs, error) {
	var out batch.Inputs
	for _, f := range flags {
		if slices.Contains(but, f.Name) {
			continue
		}
		i := batch.Input{Name: "--" + f.Name, Value: fmt.Sprintf("%q", fmt.Sprint(f.Target.Interface()))}
		if path, ok := f.Target.Interface().(string); ok && path != "" {
			if info, err := os.Stat(path); err == nil && info.Mode().IsRegular() {
				text, err := os.ReadFile(path)
				if err != nil {
					return nil, fmt.Errorf("--%s: %w", f.Name, err)
				}
				i.Value = fmt.Sprintf("a file, digest %x", sha256.Sum256(text))[:32]
			}
		}
		out = append(out, i)
	}
	return out, nil
}
