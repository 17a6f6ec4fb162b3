package main

import (
	"fmt"
	"io"
	"os"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
	"golang.org/x/term"
)

// meter tells people how far long work is: a bar on a terminal, a line now and
// then elsewhere, and nothing for a step that is soon done.
type meter struct {
	out      io.Writer
	terminal bool
	now      func() time.Time

	mu    sync.Mutex
	step  string
	began time.Time
	said  time.Time
	bar   *progressbar.ProgressBar
	words string // on the bar
}

const (
	quietFor = 2 * time.Second
	sayEvery = 10 * time.Second
)

func newMeter(out io.Writer) *meter {
	f, ok := out.(*os.File)
	return &meter{out: out, terminal: ok && term.IsTerminal(int(f.Fd())), now: time.Now}
}

// tell is told by any goroutine that done of total parts of a step are done.
func (m *meter) tell(step string, done, total int) { m.tellStep(step, step, done, total) }

// tellStep is told what to call the step now.
func (m *meter) tellStep(step, words string, done, total int) {
	m.mu.Lock()
	defer m.mu.Unlock()
	now := m.now()
	if step != m.step {
		m.clear()
		m.step, m.began, m.said = step, now, now
	}
	if now.Sub(m.began) < quietFor {
		return
	}
	switch {
	case m.terminal:
		if m.bar == nil {
			if total == 0 {
				total = -1 // not known: it turns
			}
			m.words = words
			m.bar = progressbar.NewOptions(total, progressbar.OptionSetWriter(m.out), progressbar.OptionSetDescription(words),
				progressbar.OptionThrottle(100*time.Millisecond), progressbar.OptionClearOnFinish(), progressbar.OptionSetPredictTime(true))
		}
		_ = m.bar.Set(done) // a bar that cannot be drawn stops no work
		if words != m.words {
			m.words = words
			m.bar.Describe(words) // which draws it again
		}
	case now.Sub(m.said) >= sayEvery:
		m.said = now
		if total == 0 {
			fmt.Fprintf(m.out, "%s: %d\n", words, done)
			return
		}
		fmt.Fprintf(m.out, "%s: %d of %d\n", words, done, total)
	}
}

// done takes the bar away before anything else is written.
func (m *meter) done() {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.clear()
}

func (m *meter) clear() {
	if m.bar != nil {
		_ = m.bar.Clear()
		m.bar = nil
	}
}
