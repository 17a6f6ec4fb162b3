package lots

import (
	"bytes"
	"errors"
	"io"
	"log/slog"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/terrain/beside"
)

// A run without the program of its workers, and one without contexts, panicked.
func TestBrokenConfigsAreRefused(t *testing.T) {
	for says, change := range map[string]func(c *Config){
		"set Child":      func(c *Config) { c.Child = nil },
		"set Dir":        func(c *Config) { c.Dir = "" },
		"a limit of -1s": func(c *Config) { c.Limit = -1e9 },
		"0 workers":      func(c *Config) { c.Workers = 0 },
		"shard 3 of 2":   func(c *Config) { c.Shard = Shard{3, 2} },
	} {
		c := config(t)
		change(&c)
		assert.NotPanics(t, func() {
			_, err := Run(never(), c)
			assert.ErrorContains(t, err, says)
		}, says)
	}
	assert.NotPanics(t, func() {
		r, err := Run(Stop{}, config(t))
		require.NoError(t, err)
		assert.Equal(t, madeLots, r.Lots)
		for _, serve := range []func() error{
			func() error { return Serve(nil, io.Discard, NewMapper) },
			func() error { return Serve(&bytes.Buffer{}, nil, NewMapper) },
			func() error { return Serve(&bytes.Buffer{}, io.Discard, nil) },
			func() error { return Serve(&bytes.Buffer{}, io.Discard, NewMapper) },
		} {
			assert.Error(t, serve())
		}
		_, err = Merge(t.Context(), t.TempDir(), nil, Outputs{}, nil)
		assert.ErrorIs(t, err, ErrUnfinished)
		_, err = Merge(t.Context(), "", []string{""}, Outputs{}, nil)
		assert.Error(t, err)
		_, err = NewMapper(Job{})
		assert.NoError(t, err)
		_, err = OutputsNamed([]string{""})
		assert.Error(t, err)
	})
}

// A panic of what drives a worker ended the caller's process.
func TestAPanicOfADriverEndsTheRun(t *testing.T) {
	broken := errors.New("broken")
	c := &crew{
		child: func() *exec.Cmd { panic(broken) }, queue: newQueue(3, 2),
		log: slog.New(slog.DiscardHandler), lot: func(int) (frame, error) { return frame{}, nil }, done: func(frame) error { return nil },
	}
	err := c.run(2)
	assert.ErrorIs(t, err, broken)
	var handed *beside.Panic
	require.ErrorAs(t, err, &handed)
	assert.Contains(t, string(handed.Stack), "crew.go")
}
