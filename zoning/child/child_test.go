package child

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The test's program is also its children: what one does, after it was asked, stands in
// the environment.
const doing = "ACREBAND_TEST_CHILD"

func TestMain(m *testing.M) {
	what, ok := os.LookupEnv(doing)
	if !ok {
		os.Exit(m.Run())
	}
	if err := Answer(os.Stdin, os.Stdout, 1<<10, func(job []byte) ([]byte, error) { return do(what, job) }); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

var kept [][]byte

func do(what string, job []byte) ([]byte, error) {
	switch what {
	case "panics":
		go func() { panic("on fire") }()
		select {}
	case "hangs":
		for {
			time.Sleep(time.Hour)
		}
	case "eats":
		if err := Bound(256<<20, 1<<20); err != nil {
			return nil, err
		}
		for {
			b := make([]byte, 16<<20)
			for i := 0; i < len(b); i += 4096 {
				b[i] = 1
			}
			if kept = append(kept, b); len(kept) > 128 {
				return nil, errors.New("it took 2 GB")
			}
		}
	case "fills the disk":
		if err := Bound(256<<20, 1<<20); err != nil {
			return nil, err
		}
		return nil, os.WriteFile(string(job), make([]byte, 8<<20), 0o600)
	case "says too much":
		return make([]byte, 1<<20), nil
	case "says what is no message":
		_, err := os.Stdout.WriteString("\xff\xff\xff\xff and so on")
		return nil, err
	}
	return append([]byte("you said "), job...), nil
}

func ask(ctx context.Context, what string, job string) ([]byte, error) {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), doing+"="+what)
	q := Question{Job: []byte(job), Most: 1 << 16, Limit: time.Minute}
	if what == "hangs" {
		q.Limit = 100 * time.Millisecond
	}
	return Ask(ctx, cmd, q)
}

// Whatever a child does, its parent gets an answer or an error that says what happened.
func TestAsk(t *testing.T) {
	answer, err := ask(t.Context(), "answers", "hello")
	require.NoError(t, err)
	assert.Equal(t, "you said hello", string(answer))

	_, err = ask(t.Context(), "panics", "")
	assert.ErrorContains(t, err, "panic: on fire")
	assert.NotErrorIs(t, err, ErrMemory)
	_, err = ask(t.Context(), "hangs", "")
	assert.ErrorIs(t, err, ErrTookTooLong)
	_, err = ask(t.Context(), "says too much", "")
	assert.ErrorContains(t, err, "cut off or damaged")
	_, err = ask(t.Context(), "says what is no message", "")
	assert.ErrorContains(t, err, "cut off or damaged")

	_, err = Ask(t.Context(), exec.Command(filepath.Join(t.TempDir(), "none")), Question{Most: 1})
	assert.ErrorContains(t, err, "another process cannot be started")
}

// A child that waits for ever ends with the context, not with its limit.
func TestAskEndsWithItsContext(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	_, err := ask(ctx, "answers", "hello")
	assert.ErrorIs(t, err, context.Canceled)
}

// RLIMIT_AS and RLIMIT_FSIZE, setrlimit(2).
func TestBound(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("the system bounds memory on Linux only")
	}
	_, err := ask(t.Context(), "eats", "")
	assert.ErrorIs(t, err, ErrMemory)
	assert.ErrorContains(t, err, "memory")
	file := filepath.Join(t.TempDir(), "large")
	_, err = ask(t.Context(), "fills the disk", file)
	require.Error(t, err)
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.LessOrEqual(t, info.Size(), int64(1<<20))
}

func TestSealedMessages(t *testing.T) {
	message := append(make([]byte, PrefixBytes), "a lot"...)
	Seal(message)
	payload, err := Open(bytes.NewReader(message), 5, nil)
	require.NoError(t, err)
	assert.Equal(t, "a lot", string(payload))
	_, err = Open(bytes.NewReader(message), 4, nil)
	assert.Equal(t, ErrTorn, err, "longer than it may be")
	_, err = Open(bytes.NewReader(nil), 5, nil)
	assert.Equal(t, io.EOF, err)
	for n := 1; n < len(message); n++ {
		_, err = Open(bytes.NewReader(message[:n]), 5, nil)
		assert.Equal(t, ErrTorn, err, "%d bytes of it", n)
	}
	message[PrefixBytes] ^= 1
	_, err = Open(bytes.NewReader(message), 5, nil)
	assert.Equal(t, ErrTorn, err, "a bit turned")
	// A damaged length takes no memory: CRC-32C of nothing is 0 (RFC 3720, B.4).
	_, err = Open(bytes.NewReader([]byte{255, 255, 255, 0x3f, 0, 0, 0, 0}), 1<<30, nil)
	assert.Equal(t, ErrTorn, err)
}
