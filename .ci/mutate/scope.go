package main

import (
	"bufio"
	"os"
	"path"
	"strings"
)

// scoped is a package and the files of it whose mutants are tried, all of them where
// none is named.
type scoped struct {
	pattern string
	globs   []string
}

// scopeFrom reads the packages whose rules give or take ground: one a line, then the
// files.
func scopeFrom(name string) ([]scoped, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var out []scoped
	for lines := bufio.NewScanner(f); ; {
		if !lines.Scan() {
			return out, lines.Err()
		}
		words := strings.Fields(lines.Text())
		if len(words) == 0 || strings.HasPrefix(words[0], "#") {
			continue
		}
		out = append(out, scoped{words[0], words[1:]})
	}
}

// in reports whether a file's mutants are tried.
func (s scoped) in(file string) bool {
	for _, g := range s.globs {
		if ok, _ := path.Match(g, file); ok {
			return true
		}
	}
	return len(s.globs) == 0
}
