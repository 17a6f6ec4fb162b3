package main

import (
	"bytes"
	"encoding/json"
	"io"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
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

// serving starts the command and gives its address and the token of its page; end
// interrupts it.
func serving(t *testing.T, args ...string) (address, token string, end func()) {
	t.Helper()
	var told said
	code := make(chan int, 1)
	go func() {
		code <- run(append([]string{"serve", "--listen", "127.0.0.1:0"}, args...), streams{io.Discard, &told})
	}()
	open := regexp.MustCompile(`open (http://127\.0\.0\.1:\d+/)`)
	require.Eventually(t, func() bool { return open.MatchString(told.String()) }, time.Minute, 10*time.Millisecond)
	address = open.FindStringSubmatch(told.String())[1]
	answer, err := http.Get(address)
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Contains(t, string(text), "<title>Acreband: which machine goes where</title>")
	token = regexp.MustCompile(`name="token" content="([^"]+)"`).FindStringSubmatch(string(text))[1]
	return address, token, func() {
		require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
		assert.Equal(t, exitDone, <-code)
	}
}

func TestServeUntilInterrupted(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	_, token, end := serving(t, "--elevation", "../../testdata/jacksboro_dem.tif")
	assert.NotEmpty(t, token)
	end()
}

// Beyond this machine the address carries a key, and nothing is shown without it.
func TestServeBeyondThisMachineNeedsItsAddress(t *testing.T) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	var told said
	code := make(chan int, 1)
	go func() {
		code <- run([]string{"serve", "--listen", "127.0.0.1:0", "--allow-network", "--elevation", "../../testdata/jacksboro_dem.tif"}, streams{io.Discard, &told})
	}()
	open := regexp.MustCompile(`open (http://127\.0\.0\.1:\d+/)\?key=\w{26} `)
	require.Eventually(t, func() bool { return open.MatchString(told.String()) }, time.Minute, 10*time.Millisecond)
	answer, err := http.Get(open.FindStringSubmatch(told.String())[1])
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.NoError(t, answer.Body.Close())
	assert.Equal(t, 403, answer.StatusCode)
	assert.NotContains(t, string(text), "token")
	assert.Contains(t, told.String(), "it takes no more than ")
	require.NoError(t, syscall.Kill(os.Getpid(), syscall.SIGINT))
	assert.Equal(t, exitDone, <-code)
}

func TestServeRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		args  []string
		code  int
		words string
	}{
		"the network, not asked for": {[]string{"--listen", "0.0.0.0:0"}, exitUsage, "nothing is encrypted; add --allow-network if that is wanted"},
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

// Every file that the page gives has the bytes that map writes for the same input, in either system
// of units: a page that was started in one gives those of the other.
func TestServeGivesTheFilesOfMap(t *testing.T) {
	for started, asked := range map[string]string{"metric": "us", "us": "metric"} {
		t.Run(asked, func(t *testing.T) { servesTheFilesOfMap(t, started, asked) })
	}
}

func servesTheFilesOfMap(t *testing.T, started, asked string) {
	defer debug.SetGCPercent(debug.SetGCPercent(100))
	const dem, parcel = "../../testdata/jacksboro_dem.tif", "../../examples/screening/parcel.geojson"
	shared := []string{"--elevation", dem, "--cover", "medium", "--date", "1 May", "--ground", "wet"}
	folder := t.TempDir()
	var told said
	write := []string{"map", "--parcel", parcel, "--out", folder, "--units", asked}
	for _, word := range strings.Split(outputWords(), ", ") {
		write = append(write, "--write", word)
	}
	require.Equal(t, exitDone, run(append(write, shared...), streams{io.Discard, &told}), told.String())

	address, token, end := serving(t, append(shared, "--units", started)...)
	defer end()
	boundary, err := os.ReadFile(parcel)
	require.NoError(t, err)
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	require.NoError(t, form.WriteField("units", asked))
	file, err := form.CreateFormFile("boundary", "parcel.geojson")
	require.NoError(t, err)
	_, err = file.Write(boundary)
	require.NoError(t, err)
	require.NoError(t, form.Close())
	request, err := http.NewRequest("POST", address+"v1/maps", &body)
	require.NoError(t, err)
	request.Header.Set("Content-Type", form.FormDataContentType())
	request.Header.Set("X-Acreband-Token", token)
	answer, err := http.DefaultClient.Do(request)
	require.NoError(t, err)
	text, err := io.ReadAll(answer.Body)
	require.NoError(t, err)
	require.Equal(t, 200, answer.StatusCode, "%s", text)
	lines := bytes.Split(bytes.TrimSpace(text), []byte("\n"))
	var made struct {
		ID    string
		Files []struct{ Name, Words string }
	}
	require.NoError(t, json.Unmarshal(lines[len(lines)-1], &made))

	written, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.Len(t, made.Files, len(written))
	for _, f := range made.Files {
		assert.NotEmpty(t, f.Words, f.Name)
		want, err := os.ReadFile(filepath.Join(folder, f.Name))
		require.NoError(t, err)
		answer, err := http.Get(address + "v1/maps/" + made.ID + "/files/" + f.Name)
		require.NoError(t, err)
		got, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		require.NoError(t, answer.Body.Close())
		assert.NotEmpty(t, answer.Header.Get("Content-Type"), f.Name)
		assert.True(t, bytes.Equal(want, got), "%s: %d bytes written, %d given", f.Name, len(want), len(got))
	}
}
