package main

import (
	"bytes"
	"io"
	"net/http"
	"os"
	"regexp"
	"runtime/debug"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// said keeps what a command prints, for whoever asks meanwhile.
type said struct {
	mu   sync.Mutex
	text bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.text.String()
}

func TestServeUntilInterrupted(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	var told said
	code := make(chan int, 1)
	go func() {
		code <- run([]string{"serve", "--elevation", "../../testdata/jacksboro_dem.tif", "--listen", "127.0.0.1:0"}, streams{io.Discard, &told})
	}()
	address := regexp.MustCompile(`open (http://127\.0\.0\.1:\d+/)`)
	require.Eventually(t, func() bool { return address.MatchString(told.String()) }, time.Minute, 10*time.Millisecond)
	answer, err := http.Get(address.FindStringSubmatch(told.String())[1])
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Contains(t, string(text), "<title>Acreband: which machine goes where</title>")
	require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
	assert.Equal(t, exitDone, <-code)
}

func TestServeRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		args  []string
		code  int
		words string
	}{
		"the network, not asked for": {[]string{"--listen", "0.0.0.0:0"}, exitUsage, "nobody is asked for a password; add --allow-network if that is wanted"},
		"every address, by IPv6":     {[]string{"--listen", "[::]:0"}, exitUsage, "can be reached from other machines"},
		"a name":                     {[]string{"--listen", "localhost:8470"}, exitUsage, `--listen "localhost:8470" is no address and port`},
		"no port":                    {[]string{"--listen", "127.0.0.1"}, exitUsage, "write one such as 127.0.0.1:8470"},
		"no such fleet":              {[]string{"--fleet", "none.yaml"}, exitInput, "there is no such fleet file"},
	} {
		t.Run(name, func(t *testing.T) {
			var told said
			code := run(append([]string{"serve", "--elevation", "../../testdata/jacksboro_dem.tif"}, c.args...), streams{io.Discard, &told})
			assert.Equal(t, c.code, code)
			assert.Contains(t, told.String(), c.words)
		})
	}
	var told said
	assert.Equal(t, exitInput, run([]string{"serve", "--elevation", "none.tif", "--listen", "127.0.0.1:0"}, streams{io.Discard, &told}))
	assert.Contains(t, told.String(), "none.tif")
}
