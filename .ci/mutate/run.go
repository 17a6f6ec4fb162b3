package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"time"
)

// test is one test of a package: what it takes and where it leads.
type test struct {
	name    string
	cpu     time.Duration
	wall    time.Duration
	reached map[int]bool
}

// trials runs the tests of a package one by one, with no mutant at work.
func (b *built) trials() ([]test, error) {
	out, err := exec.Command(b.program, "-test.list", ".").Output()
	if err != nil {
		return nil, err
	}
	var tests []test
	for name := range strings.FieldsSeq(string(out)) {
		if strings.HasPrefix(name, "Benchmark") {
			continue
		}
		t := test{name: name, reached: map[int]bool{}}
		note := filepath.Join(filepath.Dir(b.program), "reached")
		_ = os.Remove(note)
		start := time.Now()
		said, cpu, err := b.run([]string{name}, 10*time.Minute, "MUTANT_REACHED="+note)
		if err != nil {
			fmt.Fprintf(os.Stderr, "%s %s fails without a mutant and is left out: %v\n%s", b.path, name, err, said)
			continue
		}
		t.cpu, t.wall = cpu, time.Since(start)
		text, err := os.ReadFile(note)
		if err != nil && !os.IsNotExist(err) {
			return nil, err
		}
		for lines := bufio.NewScanner(bytes.NewReader(text)); lines.Scan(); {
			var site int
			if n, _ := fmt.Sscan(lines.Text(), &site); n == 1 {
				t.reached[site] = true
			}
		}
		tests = append(tests, t)
	}
	slices.SortStableFunc(tests, func(a, b test) int { return int(a.cpu - b.cpu) })
	return tests, nil
}

// run runs tests by name and returns what they print and the processor time they take.
func (b *built) run(names []string, limit time.Duration, env ...string) ([]byte, time.Duration, error) {
	ctx, stop := context.WithTimeout(context.Background(), limit)
	defer stop()
	cmd := exec.CommandContext(ctx, b.program, "-test.failfast", "-test.run", "^("+strings.Join(names, "|")+")$")
	cmd.Dir = b.dir
	cmd.Env = append(os.Environ(), env...)
	cmd.WaitDelay = time.Second
	out, err := cmd.CombinedOutput()
	var cpu time.Duration
	if s := cmd.ProcessState; s != nil {
		cpu = s.UserTime() + s.SystemTime()
	}
	return out, cpu, err
}

// fate is what became of a mutant.
type fate int

const (
	survived fate = iota
	notReached
	noticed
	leftOut // it does not compile
)

// try runs the tests that lead to a mutant, the quickest first, until one fails. Endless
// ones are noticed.
func (b *built) try(m mutant, tests []test) fate {
	if b.without[m.site] {
		return leftOut
	}
	var names []string
	var cpu, wall time.Duration
	reached := false
	batch := 200 * time.Millisecond
	now := func() bool {
		seconds := int(math.Ceil(2 + 4*cpu.Seconds()))
		_, _, err := b.run(names, 20*time.Second+10*wall, fmt.Sprintf("MUTANT=%d:%d", m.site, m.way), "MUTANT_CPU_S="+itoa(seconds))
		names, cpu, wall, batch = nil, 0, 0, 3*batch
		return err != nil
	}
	for _, t := range tests {
		if !t.reached[m.site] {
			continue
		}
		reached = true
		names, cpu, wall = append(names, t.name), cpu+t.cpu, wall+t.wall
		if cpu > batch && now() {
			return noticed
		}
	}
	switch {
	case len(names) > 0 && now():
		return noticed
	case !reached:
		return notReached
	}
	return survived
}
