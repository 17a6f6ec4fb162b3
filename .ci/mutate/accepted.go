package main

import (
	"bufio"
	"fmt"
	"os"
	"strings"
)

// accepted holds the survivors that are no fault of the tests, each with the reason. A
// line of the file names the package, the function, the source, what it becomes and why,
// with " | " between; so a survivor is known again after its line has moved.
type accepted map[string]string

func acceptedFrom(name string) (accepted, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	out := accepted{}
	lines := bufio.NewScanner(f)
	for n := 1; lines.Scan(); n++ {
		line := strings.TrimSpace(lines.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		at := strings.LastIndex(line, " | ")
		if at < 0 || strings.Count(line[:at], " | ") < 2 {
			return nil, fmt.Errorf("%s:%d: a line is PACKAGE | FUNCTION | SOURCE => CHANGE | REASON", name, n)
		}
		out[line[:at]] = line[at+len(" | "):]
	}
	return out, lines.Err()
}

func key(short string, m mutant) string {
	return strings.Join([]string{short, m.function, m.text + " => " + m.change}, " | ")
}
