package main

import (
	"fmt"
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// meter tells people how far long work is: a bar on a terminal, a line now and
// then elsewhere, and nothing for a step that is soon done.
type meter struct {
	out      io.Writer
	terminal bool
	now      func() time.Time

	mu    sync.Mutex
	step  string
	parts [2]int // done and all of it, as told last
	began time.Time
	said  time.Time
	bar   *progressbar.ProgressBar
	words string // of the step, on the bar
	over  chan struct{}
	ended sync.Once
}

const (
	quietFor = 2 * time.Second
	sayEvery = 10 * time.Second
	barWidth = 16 // with its words and times no wider than a terminal
)

// newMeter tells people on standard error, or on standard output where only that is a
// terminal and nothing else is written there until the work is done. A step that long tells
// nothing of itself shows all the same.
func newMeter(s streams) *meter {
	out := s.err
	if !onTerminal(out) && onTerminal(s.out) {
		out = s.out
	}
	m := &meter{out: out, terminal: onTerminal(out), now: time.Now, over: make(chan struct{})}
	if m.terminal {
		go m.keepTelling(time.NewTicker(quietFor / 2))
	}
	return m
}

// keepTelling shows the step at work until the meter is done.
func (m *meter) keepTelling(every *time.Ticker) {
	defer every.Stop()
	for {
		select {
		case <-m.over:
			return
		case <-every.C:
			m.mu.Lock()
			if m.step != "" {
				m.show(m.words, m.parts[0], m.parts[1])
			}
			m.mu.Unlock()
		}
	}
}

// tell is told by any goroutine that done of total parts of a step are done.
func (m *meter) tell(step string, done, total int) { m.tellStep(step, step, done, total) }

// tellStep is told what to call the step now.
func (m *meter) tellStep(step, words string, done, total int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if step != m.step {
		m.clear()
		m.step, m.began, m.said = step, m.now(), m.now()
	}
	m.show(words, done, total)
}

// show shows a step that takes long.
func (m *meter) show(words string, done, total int) {
	now := m.now()
	renamed := words != m.words
	m.words, m.parts = words, [2]int{done, total}
	if now.Sub(m.began) < quietFor {
		return
	}
	switch {
	case m.terminal:
		if m.bar == nil {
			if total == 0 {
				total = -1 // not known: it turns
			}
			m.bar = progressbar.NewOptions(total, progressbar.OptionSetWriter(m.out), progressbar.OptionSetDescription(words), progressbar.OptionSetWidth(barWidth),
				progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish(), progressbar.OptionSetPredictTime(true))
		}
		_ = m.bar.Set(done) // a bar that cannot be drawn stops no work
		if renamed {
			m.bar.Describe(words) // which draws it again
		}
	case now.Sub(m.said) >= sayEvery:
		m.said = now
		switch {
		case total > 0:
			fmt.Fprintf(m.out, "%s: %d of %d\n", words, done, total)
		case done > 0:
			fmt.Fprintf(m.out, "%s: %d\n", words, done)
		default:
			fmt.Fprintln(m.out, words)
		}
	}
}

// done ends the meter and takes the bar away, before anything else is written.
func (m *meter) done() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.clear()
	m.step = ""
	m.ended.Do(func() { close(m.over) })
}

func (m *meter) clear() {
	if m.bar != nil {
		_ = m.bar.Clear()
		m.bar = nil
	}
}
