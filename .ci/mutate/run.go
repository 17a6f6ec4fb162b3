package main

import (
	"bufio"
	"context"
	"fmt"
	"iter"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"time"
)

// test is one test of a package: what it takes and where it leads.
type test struct {
	name    string
	cpu     time.Duration
	wall    time.Duration
	reached map[int]bool
	err     error // it fails without a mutant
}

// trials runs each test of a package by itself, so many at a time, with no mutant at work.
func (b *built) trials(atOnce int) ([]test, error) {
	out, err := exec.Command(b.program, "-test.list", ".").Output()
	if err != nil {
		return nil, err
	}
	names := slices.DeleteFunc(strings.Fields(string(out)), func(name string) bool { return strings.HasPrefix(name, "Benchmark") })
	var tests []test
	for t := range inOrder(atOnce, len(names), func(i int) test { return b.trial(names[i]) }) {
		if t.err != nil {
			fmt.Fprintf(os.Stderr, "%s %s fails without a mutant and is left out: %v\n", b.path, t.name, t.err)
			continue
		}
		tests = append(tests, t)
	}
	slices.SortStableFunc(tests, func(a, b test) int { return int(a.cpu - b.cpu) })
	return tests, nil
}

func (b *built) trial(name string) test {
	t := test{name: name, reached: map[int]bool{}}
	note := filepath.Join(filepath.Dir(b.program), "reached-"+name)
	start := time.Now()
	said, cpu, err := b.run([]string{name}, 10*time.Minute, "MUTANT_REACHED="+note)
	if err != nil {
		t.err = fmt.Errorf("%w\n%s", err, said)
		return t
	}
	t.cpu, t.wall = cpu, time.Since(start)
	f, err := os.Open(note)
	if err != nil {
		return t // it leads nowhere
	}
	defer f.Close()
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if site, err := strconv.Atoi(lines.Text()); err == nil {
			t.reached[site] = true
		}
	}
	return t
}

// inOrder does n things, so many at a time, and gives their results in order.
func inOrder[T any](atOnce, n int, do func(i int) T) iter.Seq[T] {
	done := make([]chan T, n)
	for i := range done {
		done[i] = make(chan T, 1)
	}
	var next atomic.Int64
	for range atOnce {
		go func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				done[i] <- do(i)
			}
		}()
	}
	return func(yield func(T) bool) {
		for _, d := range done {
			if !yield(<-d) {
				return
			}
		}
	}
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
