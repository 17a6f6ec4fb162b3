package page

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"runtime"
	"strconv"
	"strings"
	"sync"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"github.com/acreband/acreband/zoning/fleet"
)

// asServer has this program, started again, serve the elevation of its name in a process whose
// memory is measured.
const asServer = "ACREBAND_TEST_SERVER"

// smallLimits bound a server to less than a few uploads would take if they were kept.
func smallLimits() Limits {
	return Limits{Cells: 560_000, KeptBytes: 24 << 20, Connections: 50}.or(DefaultLimits())
}

// serveAlone serves until standard input ends, and prints where and with which token.
func serveAlone() error {
	s, err := New(Config{Elevation: []string{os.Getenv(asServer)}, Fleet: fleet.Default(), Limits: smallLimits(), Child: reader("reads")})
	if err != nil {
		return err
	}
	defer s.Close()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		return err
	}
	fmt.Println(l.Addr(), s.token)
	ctx, end := context.WithCancel(context.Background())
	go func() {
		_, _ = io.Copy(io.Discard, os.Stdin)
		end()
	}()
	return s.Serve(ctx, l)
}

// peak is the most memory that a process had, in bytes: VmHWM of proc(5).
func peak(t *testing.T, pid int) int64 {
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	require.NoError(t, err)
	kB, err := strconv.ParseInt(string(regexp.MustCompile(`VmHWM:\s+(\d+) kB`).FindSubmatch(text)[1]), 10, 64)
	require.NoError(t, err)
	return kB << 10
}

// A hundred unfinished uploads took 3 GB, five maps with ground read far beyond their lots 4.5 GB.
func TestServerKeepsItsBound(t *testing.T) {
	if runtime.GOOS != "linux" {
		t.Skip("memory is measured on Linux only")
	}
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), asServer+"="+elevation(t), "GDAL_CACHEMAX=64", "TMPDIR="+t.TempDir())
	var said bytes.Buffer
	cmd.Stderr = &said
	in, err := cmd.StdinPipe()
	require.NoError(t, err)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	line, err := bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)
	address, token, _ := strings.Cut(strings.TrimSpace(line), " ")
	limits := smallLimits()

	begun := make([]net.Conn, 40)
	var all sync.WaitGroup
	for i := range begun {
		begun[i], err = net.Dial("tcp", address)
		require.NoError(t, err)
		all.Go(func() {
			fmt.Fprintf(begun[i], "POST /v1/maps HTTP/1.1\r\nHost: %s\r\n%s: %s\r\nContent-Type: multipart/form-data; boundary=B\r\nContent-Length: %d\r\n\r\n"+
				"--B\r\nContent-Disposition: form-data; name=\"boundary\"; filename=\"lot.geojson\"\r\n\r\n", address, tokenHeader, token, limits.UploadBytes)
			_, _ = begun[i].Write(bytes.Repeat([]byte(" "), int(limits.UploadBytes)-1<<10)) // cut short where it is refused
		})
	}
	all.Wait()
	afterUploads := peak(t, cmd.Process.Pid)
	for _, c := range begun {
		require.NoError(t, c.Close())
	}

	http1 := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
	var post func(path, media string, body []byte) string
	post = func(path, media string, body []byte) string {
		r, err := http.NewRequest("POST", "http://"+address+path, bytes.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Content-Type", media)
		r.Header.Set(tokenHeader, token)
		answer, err := http1.Do(r)
		require.NoError(t, err)
		defer answer.Body.Close()
		text, err := io.ReadAll(answer.Body)
		require.NoError(t, err)
		if answer.StatusCode == 503 { // not every upload that was given up is known to be
			return post(path, media, body)
		}
		require.Equal(t, 200, answer.StatusCode, "%s", text)
		lines := strings.Split(strings.TrimSpace(string(text)), "\n")
		return lines[len(lines)-1]
	}
	var features []string
	for _, p := range onGround(t, orb.Point{5, 5}, orb.Point{615, 615}) {
		at, err := json.Marshal(p)
		require.NoError(t, err)
		features = append(features, `{"type":"Feature","properties":{"kind":"staging"},"geometry":{"type":"Point","coordinates":`+string(at)+`}}`)
	}
	way, err := json.Marshal(onGround(t, orb.Point{0, 10}, orb.Point{10, 0}, orb.Point{619, 609}, orb.Point{609, 619}, orb.Point{0, 10}))
	require.NoError(t, err)
	features = append(features, `{"type":"Feature","properties":{"kind":"travel"},"geometry":{"type":"Polygon","coordinates":[`+string(way)+`]}}`)
	far := `{"site":{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}}`
	lot := "--B\r\nContent-Disposition: form-data; name=\"boundary\"; filename=\"lot.geojson\"\r\n\r\n" + string(parcel(t)) + "\r\n--B--\r\n"
	for range 8 {
		var a answer
		require.NoError(t, json.Unmarshal([]byte(post("/v1/maps", "multipart/form-data; boundary=B", []byte(lot))), &a))
		post("/v1/maps/"+a.ID, "application/json", []byte(far))
	}
	most := peak(t, cmd.Process.Pid)
	t.Logf("peak %d MB, after unfinished uploads %d MB; bound %d MB", most>>20, afterUploads>>20, limits.MemoryBytes()>>20)
	assert.LessOrEqual(t, most, limits.MemoryBytes())
	assert.Less(t, afterUploads, int64(ownBytes), "no body lies in memory")
	require.NoError(t, in.Close())
	require.NoError(t, cmd.Wait(), said.String())
}

// Ground that is read beyond the lots, and every layer of it, counts as kept.
func TestFarStagingCounts(t *testing.T) {
	s := serve(t, func(c *Config) { c.Limits = Limits{KeptBytes: 18 << 20} })
	far := func() string {
		at, err := json.Marshal(onGround(t, orb.Point{615, 615})[0])
		require.NoError(t, err)
		way, err := json.Marshal(onGround(t, orb.Point{480, 500}, orb.Point{500, 480}, orb.Point{630, 610}, orb.Point{610, 630}, orb.Point{480, 500}))
		require.NoError(t, err)
		return `{"site":{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"kind":"staging"},"geometry":{"type":"Point","coordinates":` + string(at) + `}},
			{"type":"Feature","properties":{"kind":"travel"},"geometry":{"type":"Polygon","coordinates":[` + string(way) + `]}}]}}`
	}()
	a := s.mapped("quarry.geojson", parcel(t))
	near := s.kept(a.ID).bytes
	status, body := s.set(a.ID, far)
	require.Equal(t, 200, status, "%s", body)
	assert.Greater(t, s.kept(a.ID).bytes, near*3/2, "both grounds are kept")
	s.mapped("quarry.geojson", parcel(t))
	assert.LessOrEqual(t, func() int64 { _, bytes := s.shelf.beside(nil); return bytes }(), s.config.Limits.KeptBytes)

	few := serve(t, func(c *Config) { c.Limits = Limits{KeptBytes: near * 3 / 2} })
	a = few.mapped("quarry.geojson", parcel(t))
	before := few.kept(a.ID).latest()
	status, body = few.set(a.ID, far)
	assert.Equal(t, 422, status)
	assert.Contains(t, few.trouble(body).Error, "put staging and no-go nearer to them, or use the command line")
	assert.Same(t, before, few.kept(a.ID).latest(), "the map is as it was")
}

// counted is a listener that counts connections that are open.
type counted struct {
	net.Listener
	mu         sync.Mutex
	open, most int
}

type countedConn struct {
	net.Conn
	of   *counted
	once sync.Once
}

func (c *counted) Accept() (net.Conn, error) {
	conn, err := c.Listener.Accept()
	if err != nil {
		return nil, err
	}
	c.mu.Lock()
	defer c.mu.Unlock()
	c.open++
	c.most = max(c.most, c.open)
	return &countedConn{Conn: conn, of: c}, nil
}

func (c *countedConn) Close() error {
	c.once.Do(func() {
		c.of.mu.Lock()
		defer c.of.mu.Unlock()
		c.of.open--
	})
	return c.Conn.Close()
}

func TestConnectionsAreBounded(t *testing.T) {
	s := serve(t, func(c *Config) { c.Limits = Limits{Connections: 3} })
	l, err := net.Listen("tcp", "127.0.0.1:0")
	require.NoError(t, err)
	counting := &counted{Listener: l}
	ctx, end := context.WithCancel(t.Context())
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(ctx, counting) }()
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			client := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}}
			answer, err := client.Get("http://" + l.Addr().String() + "/v1/start")
			if assert.NoError(t, err) {
				assert.Equal(t, 200, answer.StatusCode)
				_ = answer.Body.Close()
			}
		})
	}
	all.Wait()
	counting.mu.Lock()
	assert.LessOrEqual(t, counting.most, 3)
	counting.mu.Unlock()
	end()
	assert.NoError(t, <-ended)
}
