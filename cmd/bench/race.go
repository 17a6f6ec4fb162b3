package main

import (
	"bytes"
	"fmt"
	"os/exec"
	"runtime"
	"slices"
	"syscall"
	"time"
)

// contender is a program that is run again and again, and what its runs took.
type contender struct {
	name string
	args []string

	wall, cpu []time.Duration
	peakBytes int64 // the most resident memory of any run
}

// run runs a contender once. The first runs fill the machine's caches and are
// not kept.
func (c *contender) run(keep bool) error {
	cmd := exec.Command(c.args[0], c.args[1:]...)
	var said bytes.Buffer
	cmd.Stderr = &said
	start := time.Now()
	err := cmd.Run()
	took := time.Since(start)
	if err != nil {
		return fmt.Errorf("%s: %w: %s", c.name, err, lastLine(said.Bytes()))
	}
	if !keep {
		return nil
	}
	c.wall = append(c.wall, took)
	c.cpu = append(c.cpu, cmd.ProcessState.UserTime()+cmd.ProcessState.SystemTime())
	// A child's peak counts that of this process up to its start, so this one
	// stays small until the race is over.
	if u, ok := cmd.ProcessState.SysUsage().(*syscall.Rusage); ok {
		c.peakBytes = max(c.peakBytes, u.Maxrss*maxrssUnit())
	}
	return nil
}

// maxrssUnit is what getrusage counts peak memory in: bytes on a Mac.
func maxrssUnit() int64 {
	if runtime.GOOS == "darwin" {
		return 1
	}
	return 1024
}

// race runs contenders side by side, a round each, so that whatever else the
// machine does falls on all of them. Each round starts with another of them, so
// that none always follows the same one.
func race(rounds int, contenders []*contender) error {
	for round := range rounds {
		for i := range contenders {
			if err := contenders[(round+i)%len(contenders)].run(round > 0); err != nil {
				return err
			}
		}
	}
	return nil
}

func median(d []time.Duration) time.Duration {
	s := slices.Sorted(slices.Values(d))
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}

// ratio is that of the medians.
func ratio(a, b []time.Duration) float64 { return float64(median(a)) / float64(median(b)) }
